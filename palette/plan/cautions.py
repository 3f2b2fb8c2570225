"""The usual cautions that fit a job, in plain words. Never legal or safety advice."""

from __future__ import annotations

from dataclasses import dataclass

from palette.lamps import Exposure
from palette.plan.settings import Settings

__all__ = ["CLOSING", "Caution", "choose_cautions"]

CLOSING = (
    "These are the usual cautions, not safety or legal advice. Local code, each product's own sheet "
    "and licensed practice decide."
)

LADDER_MM = 1800.0
"""Higher than this most people cannot reach from the floor (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A heading of one or two words and a sentence or two."""

    title: str
    text: str


def choose_cautions(
    settings: Settings, *, height_mm: float, exposures: tuple[Exposure, ...]
) -> tuple[Caution, ...]:
    """Return the cautions for a wall this high, with these places people stay at."""
    found = [
        Caution(
            title="Exits",
            text="Never paint over, hide or imitate a required exit, its sign, an alarm, an extinguisher "
            "or an emergency lamp; keep them clear, visible and lit. A concealed hatch is scenery, never "
            "a way out.",
        ),
        Caution(
            title="Fire",
            text="Panels, treatments and coats in places people walk through fall under flame-spread "
            "rules. Ask the authority before treating; painting or washing may undo a treatment. Keep "
            "the papers.",
        ),
        _uv_caution(exposures),
        Caution(
            title="Air",
            text="Open the doors while painting and drying. No flames or sparks near wet paint or "
            "sanding dust.",
        ),
    ]
    if settings.site.method == "spray":
        text = (
            "Wear a respirator suited to the product, mask what must stay clean, give the mist a way out."
        )
        found.append(Caution(title="Spraying", text=text))
    if settings.site.old_paint != "none":
        text = (
            "Before sanding or scraping old paint of unknown age, test it for lead. If it has any, stop: "
            "lead-safe work has its own rules."
        )
        found.append(Caution(title="Old paint", text=text))
    if height_mm > LADDER_MM:
        text = "One out for four up, three points of contact, nobody alone, never reach sideways."
        found.append(Caution(title="Ladders", text=text))
    text = (
        "Two to lift; fix standing panels against tipping. Cables off the walkway, no loads on "
        "extension chains."
    )
    found.append(Caution(title="Panels, cables", text=text))
    if settings.site.lamps_outdoors:
        text = "Outdoors or in the damp: lamps and plugs rated for it, ground-fault protection."
        found.append(Caution(title="Lamps outdoors", text=text))
    return tuple(found)


def _uv_caution(exposures: tuple[Exposure, ...]) -> Caution:
    text = (
        "Do not look into blacklights; aim them at the wall, keep them from children's reach. Some "
        "people are light-sensitive, by illness or medicine. Broken outer glass: lamp off at once."
    )
    over = [exposure for exposure in exposures if not exposure.within_day]
    if over:
        places = " and ".join(f"the {exposure.place}'s place" for exposure in over)
        text += f" Estimated limit reached within 8 h at {places}: see the lamp page."
    return Caution(title="UV-A", text=text)
