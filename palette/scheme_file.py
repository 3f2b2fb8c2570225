"""scheme.json: which section gets which paint, as a file that may be edited by hand."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType
from typing import Any

from palette.errors import InputError
from palette.filing import finish_interrupted
from palette.formats import FORMATS
from palette.parsing import parse_json
from palette.reading import read_text, refuse_unknown_keys
from palette.references import find_named
from palette.scheme import Scheme

__all__ = ["brief_of_scheme", "parse_scheme", "read_scheme"]

_PROOF_KEYS = ("status", "levels", "engine", "seed", "seconds")
_LEVEL_KEYS = ("aim", "value", "bound", "unit", "proven")


def read_scheme(path: Path) -> Scheme:
    """Return the scheme of a ``scheme.json``, also one edited by hand.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Scheme

    Raises
    ------
    InputError
        The file is not a scheme, or of a newer version than this palette knows.
    """
    finish_interrupted(path.parent)
    return parse_scheme(read_text(path), where=str(path))


def parse_scheme(text: str, *, where: str) -> Scheme:
    """Return the scheme that the text of a ``scheme.json`` holds; see `read_scheme`.

    Parameters
    ----------
    text : str
    where : str
        For messages.

    Returns
    -------
    Scheme

    Raises
    ------
    InputError
        The text is not a scheme, or of a newer version than this palette knows.
    """
    # A proof speaks of the scheme the engine found; after an edit by hand it would be a lie,
    # and nothing here tells an edited file from another, so it is left behind.
    return Scheme(paint_of=MappingProxyType(dict(_document(text, where=where)["paint_of"])))


def brief_of_scheme(path: Path) -> Path:
    """Return the brief a scheme file was made from.

    Raises
    ------
    InputError
        The file is not a scheme, or names no brief.
    """
    brief = _document(read_text(path), where=str(path)).get("brief")
    if not brief:
        what = "it does not say which brief it was made from"
        raise InputError(str(path), what, "add --brief and the brief's file")
    return find_named(path.parent, str(brief))


def _document(text: str, *, where: str) -> dict[str, Any]:
    document = FORMATS["scheme"].newest(parse_json(text, where=where), where=where)
    refuse_unknown_keys(document, ("brief", "paint_of", "proof"), where=where)
    for key, kind, noun in (("brief", str, "a file name"), ("proof", dict, "an object")):
        if key in document and not isinstance(document[key], kind):
            raise InputError(where, f'"{key}" is {document[key]!r}, not {noun}', f"correct or delete {key}")
    _refuse_other_proofs(document.get("proof", {}), where=f"{where}, proof")
    paint_of = document.get("paint_of")
    if not isinstance(paint_of, dict) or not all(isinstance(paint, str) for paint in paint_of.values()):
        what = 'it has no "paint_of" that gives each section a paint'
        raise InputError(where, what, 'write "paint_of": { "section": "paint", … }')
    return document


def _refuse_other_proofs(proof: dict[str, Any], *, where: str) -> None:
    refuse_unknown_keys(proof, _PROOF_KEYS, where=where)
    levels = proof.get("levels", [])
    if not isinstance(levels, list) or not all(isinstance(level, dict) for level in levels):
        raise InputError(where, '"levels" is no list of objects', "correct it or delete the proof")
    for number, level in enumerate(levels, 1):
        refuse_unknown_keys(level, _LEVEL_KEYS, where=f"{where}, level {number}")
