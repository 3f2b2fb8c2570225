"""A scheme: which section gets which paint, and what is proven of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from palette.formats import FORMATS

__all__ = ["Level", "Proof", "Scheme"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One aim, how well the scheme meets it and how well any scheme could.

    Parameters
    ----------
    aim : str
        Its name.
    value : float
        What the scheme reaches, in `unit`.
    bound : float
        What no scheme can better, in `unit`.
    unit : str
        As people read it.
    proven : bool
        True when no scheme does better under the rules and the aims before this one.
    """

    aim: str
    value: float
    bound: float
    unit: str
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the engine can vouch for.

    Parameters
    ----------
    status : "optimal" or "feasible"
        "optimal" when every level is proven.
    levels : tuple of Level
        One for each aim, most important first.
    engine : str
        Its name and version.
    seed : int
    seconds : float
        How long it took, s.
    """

    status: Literal["optimal", "feasible"]
    levels: tuple[Level, ...]
    engine: str
    seed: int
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """One paint for every section.

    Parameters
    ----------
    paint_of : mapping of str to str
        Section id to paint id.
    proof : Proof or None
        None for schemes made by hand.
    """

    paint_of: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    proof: Proof | None = None

    def with_paint(self, section: str, paint: str) -> Scheme:
        """Return the scheme with one section painted otherwise; what was proven falls away."""
        return Scheme(paint_of=MappingProxyType({**self.paint_of, section: paint}))

    def without(self, *sections: str) -> Scheme:
        """Return the scheme with some sections left open, as one that is started."""
        kept = {section: paint for section, paint in self.paint_of.items() if section not in sections}
        return Scheme(paint_of=MappingProxyType(kept))

    def to_dict(self) -> dict[str, Any]:
        """Return the scheme as JSON values (`scheme.schema.json`)."""
        document = FORMATS["scheme"].stamp({"paint_of": dict(self.paint_of)})
        if self.proof is not None:
            document["proof"] = {
                "status": self.proof.status,
                "levels": [
                    {"aim": level.aim, "value": level.value, "bound": level.bound,
                     "unit": level.unit, "proven": level.proven}
                    for level in self.proof.levels
                ],
                "engine": self.proof.engine,
                "seed": self.proof.seed,
            }  # fmt: skip
            # A finished proof is the same however long it took, and so is its file; an unfinished
            # one says when it was stopped.
            if self.proof.status != "optimal":
                document["proof"]["seconds"] = self.proof.seconds
        return document

    @classmethod
    def from_dict(cls, document: Mapping[str, Any]) -> Scheme:
        """Return the scheme of a document that fits the schema."""
        proof = document.get("proof")
        return cls(
            paint_of=MappingProxyType(dict(document["paint_of"])),
            proof=proof
            and Proof(
                status=proof["status"],
                levels=tuple(Level(**level) for level in proof["levels"]),
                engine=proof["engine"],
                seed=proof["seed"],
                seconds=proof.get("seconds", 0.0),
            ),
        )
