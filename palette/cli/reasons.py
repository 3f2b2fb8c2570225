"""Why there is no scheme, told and drawn."""

from __future__ import annotations

from pathlib import Path

import palette
from palette.cli.showing import console, print_json, tell
from palette.errors import NoScheme

__all__ = ["show_reasons"]


def show_reasons(
    brief: palette.Brief, fault: NoScheme, *, out: Path, proof: Path | None, json: bool
) -> None:
    """Write reasons.png, and the proof where one is asked for, and tell what would help."""
    reasons, picture = palette.save_reasons(brief, fault, out)
    files = [picture]
    if proof is not None:
        files += palette.save_certificate(palette.certify_brief(brief), proof)
    ways = [list(way.changes) for way in reasons.ways_out]
    if json:
        print_json(
            {
                "scheme": None,
                "reason": str(fault),
                "rules": list(fault.rules),
                "places": [list(place) for place in fault.places],
                "ways_out": ways,
                "files": [str(file) for file in files],
            },
            "answer-assign",
        )
        return
    tell(str(fault))
    if ways:
        tell("Any one of these would help:")
        tell(*(f"  - {' and '.join(changes)}" for changes in ways))
    else:
        tell("No change to one or two rules was found that would help.")
    console().print("Written: " + ", ".join(str(file) for file in files), markup=False)
