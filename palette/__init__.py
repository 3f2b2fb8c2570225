"""Which section of a UV-painted wall panel gets which paint.

The public names stand, once, in ``__init__.pyi`` beside this file; each is loaded when it is
first used, so that ``import palette`` and ``palette --help`` stay quick. In a notebook, values show
themselves as pictures and sentences (``palette.notebook``).
"""

import sys as _sys

import lazy_loader as _lazy

__getattr__, __dir__, __all__ = _lazy.attach_stub(__name__, __file__)

if "IPython" in _sys.modules:
    from palette.notebook import tell_notebook as _tell_notebook

    _tell_notebook()
