"""Why there is no scheme."""

from __future__ import annotations

from collections.abc import Sequence

from palette.demands import Rule
from palette.errors import NoScheme
from palette.solving.clauses import write_formula
from palette.solving.engine import Engine
from palette.solving.model import build_model
from palette.survey import Survey

__all__ = ["no_scheme"]


def no_scheme(survey: Survey, rules: Sequence[Rule]) -> NoScheme:
    """Return the error that names a smallest set of rules that cannot all hold."""
    needed = list(rules)
    for rule in rules:
        fewer = [other for other in needed if other is not rule]
        with Engine(write_formula(build_model(survey, fewer))) as engine:
            if engine.find() is None:
                needed = fewer
    kinds = tuple(dict.fromkeys(rule.kind for rule in needed))
    paints = len(survey.paints)
    shelf = "the one paint" if paints == 1 else f"the {paints} paints"
    if len(needed) == 1:
        told = f"the rule {kinds[0]} alone cannot be kept with {shelf} of this panel"
    else:
        listed = f"{', '.join(kinds[:-1])} and {kinds[-1]}" if len(kinds) > 1 else f"of kind {kinds[0]}"
        told = f"the rules {listed} cannot all be kept with {shelf} of this panel"
    return NoScheme(f"There is no scheme for {survey.panel.name}: {told}.", rules=kinds)
