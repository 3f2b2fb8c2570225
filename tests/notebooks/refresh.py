"""Run the notebooks and store what their cells show: ``python tests/notebooks/refresh.py [NAME …]``."""

import sys

from executing import NAMES, clean, execute, read, write


def main(names: tuple[str, ...]) -> None:
    """Refresh these notebooks, all of them where none is named."""
    for name in names or NAMES:
        write(clean(execute(read(name))), name)
        print(name)


if __name__ == "__main__":
    main(tuple(sys.argv[1:]))
