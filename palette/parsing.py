"""TOML and JSON texts as plain values, within bounds that no file written by a person meets.

The parsers of the standard library read what they are given; what they let pass that would fill the
memory, take minutes, or could not even be shown, is refused here in a sentence.
"""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any

from palette.errors import InputError

__all__ = ["WRITE_SLASHES", "parse_json", "parse_toml"]

WRITE_SLASHES = 'write / between folders, like "walls/north.svg"'

_MOST_DOTS = 400_000
"""In a TOML file, decimal points among them: each dot of a key makes a table with all its bookkeeping."""

_KEY_DOTS = 16
_LONG_KEY = re.compile(rf"(?:\.[ \t]*+[\w\"'-]++[ \t]*+){{{_KEY_DOTS}}}")

_DEEPEST = 50
"""Lists and tables within one another; palette's own files need four."""

_HALF_CHARACTER = re.compile(r"\\u[dD][89a-fA-F]")


def parse_toml(text: str, *, where: str) -> dict[str, Any]:
    """Return TOML text as a table.

    Raises
    ------
    InputError
        It is not TOML; the message names the line.
    """
    if text.count(".") > _MOST_DOTS or _LONG_KEY.search(text):
        what = f"a key in it has {_KEY_DOTS} dots, or the whole file has more than {_MOST_DOTS:,}"
        raise InputError(where, what, "write it flatter")
    try:
        document = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as fault:
        mend = WRITE_SLASHES if "\\" in str(fault) else "correct that line"
        raise InputError(where, f"this is not TOML: {fault}", mend) from None
    except RecursionError:
        raise _too_deep(where) from None
    except ValueError:
        # The interpreter's own refusal of thousands of digits, in words that are not for people.
        raise _too_many_digits(where) from None
    _refuse_excess(document, where=where)
    return document


def parse_json(text: str, *, where: str) -> dict[str, Any]:
    """Return the one object of a JSON text.

    Parameters
    ----------
    text : str
    where : str
        For messages.

    Returns
    -------
    dict

    Raises
    ------
    InputError
        It is not JSON, holds no object, or a key stands twice in one.
    """
    try:
        document = json.loads(text, object_pairs_hook=_no_repeats, parse_constant=_no_constant)
    except json.JSONDecodeError as fault:
        what = f"this is not JSON in line {fault.lineno}"
        raise InputError(where, what, "correct it or write the file anew") from None
    except RecursionError:
        raise _too_deep(where) from None
    except KeyError as fault:
        what = f'the key "{fault.args[0]}" stands twice in one object'
        raise InputError(where, what, "keep one of them") from None
    except ValueError:
        raise _too_many_digits(where) from None
    _refuse_excess(document, where=where)
    if _HALF_CHARACTER.search(text) and not _is_text(document):
        raise InputError(where, "it holds half a character, like \\ud800", "write the character itself")
    if not isinstance(document, dict):
        raise InputError(where, "this JSON holds no object", "put everything in one { … }")
    return document


def _no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    # JSON lets the last of two equal keys win in silence; a hand edit would lose the first.
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise KeyError(key)
        found[key] = value
    return found


def _no_constant(word: str) -> float:
    raise json.JSONDecodeError(f"{word} is no number", "", 0)


def _is_text(document: Any) -> bool:
    try:
        json.dumps(document, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


def _refuse_excess(document: Any, *, where: str) -> None:
    """Raise InputError where a document is nested too deeply or an integer does not fit 64 bits.

    TOML promises no more than that (TOML 1.0, Integer); a longer one could not even be shown.
    """
    waiting = [(document, 0)]
    while waiting:
        value, depth = waiting.pop()
        if isinstance(value, (dict, list)):
            if depth > _DEEPEST:
                raise _too_deep(where)
            inner = value.values() if isinstance(value, dict) else value
            waiting.extend((each, depth + 1) for each in inner if isinstance(each, (dict, list, int)))
        elif isinstance(value, int) and not -(2**63) <= value < 2**63:
            raise _too_many_digits(where)


def _too_deep(where: str) -> InputError:
    return InputError(where, f"it nests lists or tables deeper than {_DEEPEST}", "write it flatter")


def _too_many_digits(where: str) -> InputError:
    return InputError(where, "a number in it has too many digits", "write a number people use")
