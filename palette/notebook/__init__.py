"""How values show themselves in a notebook: a wall as a picture, a verdict as sentences.

The values know nothing of it. `tell_notebook` gives a running notebook the names of the types and
of the functions below that show them; each function is loaded when something is shown.
"""

from palette.notebook.telling import tell_formatter, tell_notebook

__all__ = ["tell_formatter", "tell_notebook"]
