"""The words of a batch: what is said of one job, and of all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from palette.batch.result import JobResult, State

__all__ = ["Caption", "caption_of", "tell_states", "tell_verdict"]

_STATE_WORDS: dict[State, str] = {
    "good": "good",
    "broken": "with a clash or a broken rule",
    "no-scheme": "without a scheme",
    "wrong-input": "with wrong input",
    "failed": "cut short",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """The three lines below a picture."""

    name: str
    facts: str
    verdict: str


def caption_of(result: JobResult) -> Caption:
    """Return what is said below a job's picture."""
    name = result.name
    facts = []
    if result.sections is not None:
        facts.append(_count(result.sections, "section"))
    if result.paints:
        facts.append(_count(len(result.paints), "paint"))
    sign = "✓" if result.state == "good" else "✗"
    return Caption(
        name=name, facts=" · ".join(facts) or result.source, verdict=f"{sign} {tell_verdict(result)}"
    )


def tell_verdict(result: JobResult) -> str:
    """Return how a job came out, in a few words."""
    if result.state == "no-scheme":
        return "no scheme"
    if result.state == "wrong-input":
        return "wrong input"
    if result.state == "failed":
        return "cut short"
    told = []
    if result.clashes:
        told.append(_count(result.clashes, "clash"))
    others = (result.rules_broken or 0) - (1 if result.clashes else 0)
    if others > 0 and result.kind == "assign":
        told.append(_count(others, "wish") + " missed")
    elif others > 0:
        told.append(_count(others, "rule") + " broken")
    weakest = result.weakest
    if weakest is not None and not result.clashes:
        told.append(f"weakest pair {weakest.difference:.1f}")
        if weakest.proven:
            told.append("proven")
        elif weakest.bound is not None:
            told.append(f"at best {weakest.bound:.1f}")
    return ", ".join(told) or "good"


def tell_states(states: Sequence[State]) -> str:
    """Return how many jobs came out how."""
    count = Counter(states)
    return " · ".join(f"{count[state]} {words}" for state, words in _STATE_WORDS.items() if count[state])


def _count(many: int, noun: str) -> str:
    plural = noun + ("es" if noun.endswith("sh") else "s")
    return f"{many} {noun if many == 1 else plural}"
