"""Briefs: one TOML that names a panel, paints, lights and rules."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np

import palette
from fuzz.desk import lay
from fuzz.readers.matrix import CARD
from fuzz.sanity import assert_sound_light, assert_sound_panel

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"

EXAMPLES = 40

WORDS = (
    "version = 1", "name", "panel", "panels", "gap", "paints", "[[paint]]", "lights", "rules", "[[rule]]", "kind", "aims",
    "[neighbours]", "reach", "min_border", "seed", "wall.svg", "wall.toml", "paints.toml", "rules.toml", "brief.toml",
    "card.csv", "size", "file", "daylight", "blacklight", "D65", "365/12", "365/12 + 0.02*led-white", "weakest-pair",
    "repeats", "balance", "areas", "contrast", "weakest-pair within 2", "clash", "depth", "quota", "strength", "prefer", "must",
    "160 mm", "0 mm", "25 mm", '["wall.toml", "wing.toml"]', '{ file = "wall.toml", size = "1 m x 1 m" }', "scheme.json",
)  # fmt: skip

_WALL = b"""size = "1 m x 80 cm"
[[section]]
name = "left"
left = "0 cm"
bottom = "0 cm"
width = "49 cm"
height = "80 cm"
[[section]]
name = "right"
left = "50 cm"
bottom = "0 cm"
width = "50 cm"
height = "80 cm"
"""
_PAINTS = b"""[[paint]]
name = "moss"
swatch = { daylight = "#38d64e", blacklight = "#12c85a" }
[[paint]]
name = "coral"
swatch = { daylight = "#ff6040", blacklight = "#ff3010" }
"""
_RULES = b'[[rule]]\nkind = "clash"\n'


@cache
def _lay_the_rest() -> None:
    lay("brief/wall.toml", _WALL)
    lay("brief/wing.toml", _WALL)
    lay("brief/wall.svg", (_CANYON / "wall.svg").read_bytes())
    lay("brief/paints.toml", _PAINTS)
    lay("brief/rules.toml", _RULES)
    lay("brief/card.csv", CARD)
    lay("brief/scheme.json", b'{"paint_of": {"left": "moss", "right": "coral"}}')


def target(data: bytes) -> object:
    """Read a brief, and survey it where the wall is small."""
    _lay_the_rest()
    brief = palette.read_brief(lay("brief/brief.toml", data))
    assert brief.name == brief.name.strip() != ""
    assert brief.name.isprintable()
    assert 0 <= brief.seed <= 2**31
    assert brief.paints
    assert brief.rules
    assert_sound_panel(brief.panel)
    for light in brief.lights:
        assert_sound_light(light)
    for rule in brief.rules:
        assert palette.state_rule(rule)
    if len(brief.panel.sections) <= 40 and len(brief.paints) <= 6:
        survey = palette.survey_brief(brief)
        assert np.isfinite(survey.appearance.xyz).all()
    return brief


def seeds() -> list[bytes]:
    """Return the demo's brief on small files, and briefs that hold or name their parts."""
    demo = (_CANYON / "brief.toml").read_bytes()
    inline = (
        b'name = "One file"\nseed = 7\nlights = ["D65", "365/12 + 0.02*led-white"]\naims = ["weakest-pair within 2", "repeats"]\n'
        b"[panel]\n" + _WALL.replace(b"[[section]]", b"[[panel.section]]") + _PAINTS + _RULES
        + b'[[rule]]\nkind = "seam"\nside = "left"\npanel = "wall.toml"\nscheme = "scheme.json"\n'
        + b'[neighbours]\nreach = "160 mm"\nmin_border = "25 mm"\n'
    )  # fmt: skip
    run = (
        b'panels = ["wall.toml", "wing.toml"]\ngap = "5 mm"\npaints = "paints.toml"\nrules = "rules.toml"\n'
    )
    sized = b'panel = { file = "wall.toml", size = "1 m x 80 cm" }\npaints = "paints.toml"\n[[rule]]\nkind = "clash"\neyes = ["deutan"]\n'
    return [demo, inline, run, sized]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield briefs that are too much in one way each."""
    head = b'panel = "wall.toml"\npaints = "paints.toml"\n'
    rule = b'[[rule]]\nkind = "clash"\n'
    yield "2,000 rules", head + rule * 2000
    yield "100,000 rules", head + rule * 100_000
    yield (
        "2,000 lights",
        head + b"lights = [" + b",".join(b'"%d/12"' % (300 + k) for k in range(400)) + b"]\n" + rule,
    )
    yield "1,000 panels", b"panels = [" + b'"wall.toml",' * 1000 + b']\npaints = "paints.toml"\n' + rule
    yield (
        "a panel from a device without end",
        b'panel = "/dev/zero"\npaints = "/dev/zero"\nrules = "/dev/zero"\n',
    )
    yield "paints from a device without end", b'panel = "wall.toml"\npaints = "/dev/zero"\n' + rule
    yield (
        "rules from a device that waits",
        b'panel = "wall.toml"\npaints = "paints.toml"\nrules = "/dev/tty"\n',
    )
    yield (
        "a brief that names itself",
        b'panel = "brief.toml"\npaints = "brief.toml"\nrules = "brief.toml"\n',
    )
    yield "a million aims", head + b"aims = [" + b'"repeats",' * 1_000_000 + b"]\n" + rule
    yield "a reach of 1,000 km", head + b'[neighbours]\nreach = "1000000 m"\nmin_border = "0 mm"\n' + rule
    yield "a reach of nothing", head + b'[neighbours]\nreach = "0 mm"\nmin_border = "0 mm"\n' + rule
