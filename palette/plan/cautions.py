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
    """A heading of one or two words, the one sentence to remember, and what else is to be said."""

    title: str
    short: str
    more: str = ""

    @property
    def text(self) -> str:
        """All of it."""
        return f"{self.short} {self.more}".rstrip()


def choose_cautions(
    settings: Settings, *, height_mm: float, exposures: tuple[Exposure, ...]
) -> tuple[Caution, ...]:
    """Return the cautions for a wall this high, with these places people stay at."""
    found = [
        Caution(
            title="Exits",
            short="Keep required exits, their signs, alarms, extinguishers clear and visible.",
            more="Never paint over, hide or imitate one; emergency lamps stay lit. A concealed hatch is "
            "scenery, never a way out.",
        ),
        Caution(
            title="Fire",
            short="Ask the authority before treating; keep the papers.",
            more="Panels, treatments and coats where people walk fall under flame-spread rules. Painting "
            "or washing may undo a treatment.",
        ),
        _uv_caution(exposures),
        Caution(
            title="Air",
            short="Open the doors while painting and drying.",
            more="No flames or sparks near wet paint or sanding dust.",
        ),
    ]
    if settings.site.method == "spray":
        found.append(
            Caution(
                title="Spraying",
                short="Wear a respirator suited to the product.",
                more="Mask what must stay clean; give the mist a way out.",
            )
        )
    if settings.site.old_paint != "none":
        found.append(
            Caution(
                title="Old paint",
                short="Before sanding or scraping, test for lead.",
                more="If there is any, stop: lead-safe work has its own rules.",
            )
        )
    if height_mm > LADDER_MM:
        found.append(
            Caution(
                title="Ladders",
                short="One out for four up, nobody alone.",
                more="Three points of contact, never reach sideways.",
            )
        )
    found.append(
        Caution(
            title="Panels, cables",
            short="Two to lift; cables off the walkway.",
            more="Fix standing panels against tipping. No loads on extension chains.",
        )
    )
    if settings.site.lamps_outdoors:
        found.append(
            Caution(
                title="Lamps outdoors",
                short="Outdoors or in the damp: lamps and plugs rated for it, ground-fault protection.",
            )
        )
    return tuple(found)


def _uv_caution(exposures: tuple[Exposure, ...]) -> Caution:
    more = (
        "Aim them at the wall, keep them from children's reach. Some people are light-sensitive, by "
        "illness or medicine. Broken outer glass: lamp off at once."
    )
    over = [exposure for exposure in exposures if not exposure.within_day]
    if over:
        places = " and ".join(f"the {exposure.place}'s place" for exposure in over)
        more += f" Estimated limit reached within 8 h at {places}: see the lamp page."
    return Caution(title="UV-A", short="Do not look into blacklights.", more=more)
