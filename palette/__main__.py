"""``python -m palette``."""

from palette.cli import main

main()
