"""Everything that can go wrong, as one small family.

::

    PaletteError
    ├── InputError     something in a file or a command that a person can mend   (exit 2)
    ├── NoScheme       the rules cannot all hold together                        (exit 1)
    ├── Stopped        the caller asked a long verb to stop
    └── Disagreement   two independent parts of palette contradict each other    (a fault of ours)
"""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["Disagreement", "InputError", "NoScheme", "PaletteError", "Stopped"]

_LONGEST_PART = 450
"""Letters of one part of a sentence: three such parts still fit a screen."""

_MOST_TOLD = 100
"""Sentences about one file: whoever has mended so many will ask again."""


class PaletteError(Exception):
    """Base of every error palette raises on purpose."""

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook shows of it: the sentence, without the way through our code."""
        return [str(self)]


class InputError(PaletteError):
    """Something a person wrote cannot be used; the message says how to mend it.

    Parameters
    ----------
    where : str
        The file and the place in it, as its author knows it: ``canyon.svg, section "slab 7"``.
    what : str
        What is wrong, with the value, without a full stop.
    mend : str
        What to do about it, as an instruction, without a full stop.

    Notes
    -----
    All three may quote what a file holds, and a file may hold anything: line breaks and marks that
    cannot be seen are written as in ``\\n``, and a part too long to read loses its middle.
    """

    def __init__(self, where: str, what: str, mend: str) -> None:
        self.where = _readable(where)
        self.what = _readable(what)
        self.mend = _readable(mend)
        super().__init__(f"{self.where}: {self.what}; {self.mend}.")

    def each(self) -> tuple[InputError, ...]:
        """Return the faults one by one."""
        return (self,)

    @staticmethod
    def gather(faults: Iterable[InputError]) -> None:
        """Raise all the faults of one file together, or nothing if there are none.

        A person mends a file once, not once per run.
        """
        found = [single for fault in faults for single in fault.each()]
        if len(found) == 1:
            raise found[0]
        if found:
            raise ManyInputErrors(found)


class ManyInputErrors(InputError):
    """Several faults of one file; each keeps its own sentence."""

    def __init__(self, faults: list[InputError]) -> None:
        self.faults = tuple(faults)
        first = faults[0]
        super().__init__(first.where, first.what, first.mend)
        told = [str(fault) for fault in faults[:_MOST_TOLD]]
        if len(faults) > _MOST_TOLD:
            told.append(f"{len(faults) - _MOST_TOLD:,} more faults are not listed; mend these first.")
        self.args = ("\n".join(told),)

    def each(self) -> tuple[InputError, ...]:
        """Return the faults one by one."""
        return self.faults


class NoScheme(PaletteError):
    """No choice of paints keeps every rule.

    Parameters
    ----------
    sentence : str
        What was asked for and cannot be had.
    rules : tuple of str
        Kinds of the rules that together cannot hold, as far as they are known.
    places : tuple of tuple of str
        The sections at which they collide: taken together, no fewer places collide. An empty
        tuple stands for the whole panel.
    """

    def __init__(
        self, sentence: str, rules: tuple[str, ...] = (), places: tuple[tuple[str, ...], ...] = ()
    ) -> None:
        self.rules = rules
        self.places = places
        super().__init__(sentence)


class Stopped(PaletteError):
    """Raise this inside a progress callback to end a long verb early."""


class Disagreement(PaletteError):
    """The solver and the checker contradict each other: please report it, with the brief."""


def _readable(part: str) -> str:
    """Return a part of a sentence on one line, printable and not too long."""
    told = _shortened(part)
    if told.isprintable():
        return told
    marked = (c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in told)
    return _shortened("".join(marked))


def _shortened(part: str) -> str:
    if len(part) <= _LONGEST_PART:
        return part
    half = _LONGEST_PART // 2 - 2
    return f"{part[:half]} … {part[-half:]}"
