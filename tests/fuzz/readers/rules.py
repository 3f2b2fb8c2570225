"""Rules: ``[[rule]]`` tables, held against the demo's wall and paints."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import palette
from palette.rules import RULE_KINDS

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"

_BODIES = (
    'kind = "clash"\nmin_difference = 20\nmin_hue_angle = 15\nmin_chroma = 25\neyes = ["deutan", "protan/0.5"]\nlights = ["daylight"]',
    'kind = "clash"\nmin_difference = "off"',
    'kind = "families"\napart = [["red", "orange"], ["green", "blue"]]\nmin_chroma = 20',
    'kind = "depth"\nby = "bands"\nbands = 3\ntolerance = 8\nlight = ["daylight", "blacklight"]',
    'kind = "depth"\nby = "order"\nrise = "100 mm"\ntolerance = 2.5',
    'kind = "pin"\nsections = ["cap *"]\npaint = "moss green"',
    'kind = "only"\nsections = ["long sill"]\npaints = ["moss green", "lagoon blue"]',
    'kind = "never"\nsections = ["cap west"]\npaints = ["moss green"]\nstrength = "prefer"',
    'kind = "same"\nsections = ["cap *"]',
    'kind = "different"\nsections = ["cap west", "cap east"]',
    'kind = "stock"\nwaste = 0.1\nextra = { "moss green" = "0.5 L" }',
    'kind = "variety"\nat_least = 3\nat_most = 6',
    'kind = "quota"\npaints = ["moss green"]\nat_least = 1\nat_most = 4',
    'kind = "share"\npaints = ["moss green"]\nat_least = 0.05\nat_most = 0.5',
    'kind = "spacing"\ndistance = "300 mm"',
    'kind = "stripe"\nbend = 15\nstep = 1.75',
    'kind = "seam"\nside = "left"\nfacing = [{ from = "0 mm", to = "300 mm", paint = "moss green" }]\nreach = "100 mm"',
    'kind = "hatch"\nratio = 1\nboth_sides = true\nmixed_sides = false\nrequired_exit = false',
)  # fmt: skip

WORDS = (
    *RULE_KINDS, "[[rule]]", "kind", "strength", "must", "prefer", "off", "sections", "paint", "paints", "lights", "light",
    "eyes", "deutan", "tritan/0.3", "daylight", "blacklight", "at_least", "at_most", "cap *", "*", "[!a]*", "long sill", "moss green",
    "lagoon blue", "true", "false", "bands", "order", "given", "distance", "bend", "step", "facing", "from", "to", "reach",
    "300 mm", "0 mm", "1000000 m", "panel", "scheme", "red", "orange",
)  # fmt: skip


@cache
def _demo() -> tuple[palette.Brief, palette.Survey, palette.Scheme]:
    brief = palette.read_brief(_CANYON / "brief.toml")
    ids = [paint.id for paint in brief.paints]
    paint_of = {section: ids[k % len(ids)] for k, section in enumerate(brief.panel.ids)}
    return brief, palette.survey_brief(brief), palette.Scheme(paint_of=paint_of)


def target(data: bytes) -> object:
    """Read rules and judge one scheme by them."""
    brief, survey, scheme = _demo()
    rules = palette.change_rules(brief, data.decode("utf-8", errors="replace")).rules
    assert rules
    for rule in rules:
        sentence = palette.state_rule(rule)
        assert len(sentence.splitlines()) == 1
    palette.InputError.gather(fault for rule in rules for fault in rule.faults(survey))
    if len(rules) <= 6:
        verdict = palette.check_scheme(survey, rules, scheme)
        for breach in verdict.breaches:
            assert len(breach.sentence.splitlines()) == 1
    return rules


def seeds() -> list[bytes]:
    """Return one of each kind, and all of the demo's."""
    three = "\n".join(f"[[rule]]\n{body}\n" for body in (_BODIES[0], _BODIES[3], _BODIES[12]))
    return [*(f"[[rule]]\n{body}\n".encode() for body in _BODIES), three.encode()]


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield rules that are too much in one way each."""
    yield "a pattern of 100,000 stars", b'[[rule]]\nkind = "same"\nsections = ["' + b"*a" * 50_000 + b'"]\n'
    yield "a pattern of 40 stars", b'[[rule]]\nkind = "same"\nsections = ["' + b"*[a-z ]" * 40 + b'#"]\n'
    yield (
        "200,000 sections",
        b'[[rule]]\nkind = "same"\nsections = [' + b",".join(b'"s%d"' % k for k in range(200_000)) + b"]\n",
    )
    yield (
        "20,000 patterns",
        b'[[rule]]\nkind = "same"\nsections = [' + b",".join(b'"s%d*"' % k for k in range(20_000)) + b"]\n",
    )
    yield (
        "200,000 pairs of families",
        b'[[rule]]\nkind = "families"\napart = [' + b'["red","orange"],' * 200_000 + b"]\n",
    )
    yield (
        "50,000 facings",
        (
            b'[[rule]]\nkind = "seam"\nfacing = ['
            + b'{ from = "0 mm", to = "300 mm", paint = "moss green" },' * 50_000
            + b"]\n"
        ),
    )
    yield (
        "2,000 eyes",
        b'[[rule]]\nkind = "clash"\neyes = ['
        + b",".join(b'"deutan/0.%03d"' % k for k in range(1000))
        + b"]\n",
    )
    yield "1e308 bands", b'[[rule]]\nkind = "depth"\nbands = 1' + b"0" * 18 + b"\n"
    yield "1,000,000,000 bands", b'[[rule]]\nkind = "depth"\nbands = 1000000000\n'
