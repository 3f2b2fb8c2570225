"""Every rule as a sentence with blanks, in the words of the trade. Plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from palette.page.ground import Ground

__all__ = ["OFFERED", "Blank", "Sentence", "first_table", "sentence_of"]

How = Literal["number", "percent", "length", "word", "yes", "lights", "sections", "paints", "paint"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One blank: the key it fills, how it is filled, its spoken name, and what stands there at first.

    `choices` are for words: value to what is shown. A blank with `empty` may be left empty and then
    means that.
    """

    key: str
    how: How
    label: str
    default: Any = None
    choices: Mapping[str, str] | None = None
    empty: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sentence:
    """A rule's title and its sentence: words and blanks in turn."""

    title: str
    pieces: tuple[str | Blank, ...]


_SECTIONS = Blank(key="sections", how="sections", label="Sections", empty="all sections")
_PAINTS = Blank(key="paints", how="paints", label="Paints")
_EACH_PAINT = Blank(key="paints", how="paints", label="Paints", empty="each paint")

_STRENGTH = Blank(
    key="strength",
    how="word",
    label="How strict it is",
    default="must",
    choices={"must": "must hold.", "prefer": "is only preferred."},
)

_SENTENCES: dict[str, Sentence] = {
    "clash": Sentence(
        title="Look-alikes never touch",
        pieces=(
            "Neighbours differ by at least",
            Blank(key="min_difference", how="number", label="Least difference", default=20.0),
            "(about 1 is just visible), and two strong colours stand at least",
            Blank(key="min_hue_angle", how="number", label="Least angle of hue, degrees", default=15.0),
            "degrees of hue apart, under",
            Blank(key="lights", how="lights", label="Lights compared", empty="every light"),
        ),
    ),
    "depth": Sentence(
        title="Darker toward the top",
        pieces=(
            "No section is lighter than one below it, comparing",
            Blank(key="by", how="word", label="What is compared", default="bands",
                  choices={"bands": "bands of height", "order": "section by section",
                           "given": "the depths in the drawing"}),
            "in",
            Blank(key="bands", how="number", label="How many bands", default=3),
            "bands, forgiving",
            Blank(key="tolerance", how="number", label="Steps of lightness forgiven", default=0.0),
            "steps of lightness (of 100), judged under",
            Blank(key="light", how="lights", label="Light it is judged under", default=["daylight"]),
        ),
    ),
    "hatch": Sentence(
        title="The hatch does not show",
        pieces=(
            "The outline of the concealed service hatch shows at most",
            Blank(key="ratio", how="number", label="Times the contrast of other gaps", default=1.0),
            "times the contrast of the other gaps. Is it an exit that a code requires?",
            Blank(key="required_exit", how="yes", label="Is it a required exit", default=False),
            "A required exit, its sign or an alarm is never concealed; the authority decides.",
        ),
    ),
    "pin": Sentence(
        title="Sections with a given paint",
        pieces=(
            _SECTIONS, "are painted",
            Blank(key="paint", how="paint", label="Paint"),
        ),
    ),
    "only": Sentence(title="Only some paints", pieces=(_SECTIONS, "are painted only", _PAINTS)),
    "never": Sentence(title="Never some paints", pieces=(_SECTIONS, "are never painted", _PAINTS)),
    "same": Sentence(
        title="Sections that match",
        pieces=(Blank(key="sections", how="sections", label="Sections"), "have the same paint."),
    ),
    "different": Sentence(
        title="Sections that differ",
        pieces=(Blank(key="sections", how="sections", label="Sections"), "have different paints."),
    ),
    "stock": Sentence(
        title="Enough paint on the shelf",
        pieces=(
            "No paint runs out, counting a share of",
            Blank(key="waste", how="percent", label="Percent lost on the way to the wall", default=0.1),
            "percent lost on the way to the wall.",
        ),
    ),
    "variety": Sentence(
        title="How many paints",
        pieces=(
            "At least",
            Blank(key="at_least", how="number", label="Fewest paints", default=0),
            "and at most",
            Blank(key="at_most", how="number", label="Most paints"),
            "different paints are on the wall.",
        ),
    ),
    "quota": Sentence(
        title="How many sections a paint",
        pieces=(
            _EACH_PAINT, "is on at least",
            Blank(key="at_least", how="number", label="Fewest sections", default=0),
            "and at most",
            Blank(key="at_most", how="number", label="Most sections"),
            "sections.",
        ),
    ),
    "share": Sentence(
        title="How much of the wall a paint",
        pieces=(
            _EACH_PAINT, "covers at least",
            Blank(key="at_least", how="percent", label="Least percent of the wall", default=0.0),
            "and at most",
            Blank(key="at_most", how="percent", label="Most percent of the wall", default=1.0),
            "percent of the painted wall.",
        ),
    ),
    "any-order": Sentence(
        title="Panels in any order",
        pieces=(
            "Several of this panel may stand side by side in every order without a clash. May one also be "
            "turned round?",
            Blank(key="mirrored", how="yes", label="May a panel be turned round", default=False),
        ),
    ),
    "spacing": Sentence(
        title="Repeats far apart",
        pieces=(
            "Two sections of one paint are at least",
            Blank(key="distance", how="length", label="Least distance", default="0 mm"),
            "apart.",
        ),
    ),
    "stripe": Sentence(
        title="No stripes",
        pieces=(
            "No three sections of one paint stand in a line (a bend below",
            Blank(key="bend", how="number", label="Bend that still reads as a line, degrees", default=15.0),
            "degrees reads as a line).",
        ),
    ),
}  # fmt: skip

OFFERED: dict[str, str] = {kind: sentence.title for kind, sentence in _SENTENCES.items()}
"""Rules the page offers to add, by kind; those the engine does not know are left out where shown."""


def sentence_of(table: Mapping[str, Any]) -> Sentence:
    """Return the sentence of a rule as it stands in the brief; a plain one for a kind not listed here."""
    kind = str(table.get("kind", ""))
    if kind in _SENTENCES:
        sentence = _SENTENCES[kind]
        return Sentence(title=sentence.title, pieces=(*sentence.pieces, "This", _STRENGTH))
    told = ", ".join(f"{key} = {value}" for key, value in table.items() if key != "kind")
    return Sentence(
        title=kind.capitalize() or "A rule", pieces=(f"{told or 'as it stands'} (change it in brief.toml)",)
    )


def first_table(kind: str, ground: Ground) -> dict[str, Any]:
    """Return a rule as it is first added: usable at once, its blanks filled so that they can be changed."""
    sections, paints = ground.survey.panel.ids, ground.survey.appearance.paints
    first: dict[str, dict[str, Any]] = {
        "pin": {"sections": [sections[0]], "paint": paints[0]},
        "only": {"sections": [sections[0]], "paints": list(paints)},
        "never": {"sections": [sections[0]], "paints": [paints[0]]},
        "same": {"sections": list(sections[:2])},
        "different": {"sections": list(sections[:2])},
        "spacing": {"distance": "200 mm"},
        "quota": {"at_most": max(1, len(sections) // 2)},
        "share": {"at_most": 0.4},
        "variety": {"at_least": min(len(paints), len(sections))},
    }
    return {"kind": kind, **first.get(kind, {})}
