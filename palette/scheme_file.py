"""scheme.json: which section gets which paint, as a file that may be edited by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from types import MappingProxyType
from typing import Any

from palette.errors import InputError
from palette.filing import finish_interrupted
from palette.formats import FORMATS
from palette.parsing import parse_json
from palette.reading import read_text, refuse_unknown_keys
from palette.references import find_named
from palette.scheme import Proof, Scheme

__all__ = ["brief_of_scheme", "parse_scheme", "read_proof", "read_scheme"]

_PROOF_KEYS = ("status", "levels", "engine", "seed", "seconds")
_LEVEL_KEYS = ("aim", "value", "bound", "unit", "proven")

_FITS: dict[str, Callable[[object], bool]] = {
    "a text": lambda value: isinstance(value, str),
    "true or false": lambda value: isinstance(value, bool),
    "a number": lambda value: isinstance(value, (int, float)) and not isinstance(value, bool),
    "a whole number": lambda value: isinstance(value, int) and not isinstance(value, bool),
    "a list": lambda value: isinstance(value, list),
    '"optimal" or "feasible"': lambda value: value in ("optimal", "feasible"),
}
_PROOF_KINDS = {
    "status": '"optimal" or "feasible"',
    "levels": "a list",
    "engine": "a text",
    "seed": "a whole number",
    "seconds": "a number",
}
_LEVEL_KINDS = {
    "aim": "a text",
    "value": "a number",
    "bound": "a number",
    "unit": "a text",
    "proven": "true or false",
}


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


def read_proof(path: Path) -> Proof | None:
    """Return what a ``scheme.json`` says was proven of its scheme, or None where it says nothing.

    Whether it is so is another question: see `palette.claims`.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Proof or None

    Raises
    ------
    InputError
        The file is not a scheme, or its proof lacks a key or has a value of another kind.
    """
    document = _document(read_text(path), where=str(path))
    if "proof" not in document:
        return None
    faults = list(_misfits(document["proof"], _PROOF_KINDS, where=f"{path}, proof"))
    for number, level in enumerate(document["proof"].get("levels", []), 1):
        faults += _misfits(level, _LEVEL_KINDS, where=f"{path}, proof, level {number}")
    InputError.gather(faults)
    return Scheme.from_dict(document).proof


def _misfits(table: dict[str, Any], kinds: dict[str, str], *, where: str) -> Iterator[InputError]:
    for key, noun in kinds.items():
        if key not in table and key != "seconds":
            yield InputError(where, f'it has no "{key}"', f"write {noun}, or delete the proof")
        elif key in table and not _FITS[noun](table[key]):
            yield InputError(
                where, f'"{key}" is {table[key]!r}, not {noun}', "correct it or delete the proof"
            )


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
