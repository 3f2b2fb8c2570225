"""The words of a batch: what is said of one job, and of all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from palette.batch.result import JobResult, State

__all__ = ["Caption", "captions_of", "tell_states", "tell_verdict", "tell_weakest"]

_STATE_WORDS: dict[State, str] = {
    "good": "good",
    "broken": "with a clash or a broken rule",
    "no-scheme": "without a scheme",
    "wrong-input": "with wrong input",
    "failed": "cut short",
}

_SHORT: dict[State, str] = {"no-scheme": "no scheme", "wrong-input": "wrong input", "failed": "cut short"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """What is said below a job's pictures, and whether all is good."""

    name: str
    facts: str
    verdict: str
    good: bool


def captions_of(results: Sequence[JobResult]) -> list[Caption]:
    """Return each job's caption; a name that is there twice gives way to the folder's."""
    names = Counter(result.name for result in results)
    return [_caption(result, result.name if names[result.name] == 1 else result.id) for result in results]


def _caption(result: JobResult, name: str) -> Caption:
    facts = []
    if result.sections is not None:
        facts.append(_count(result.sections, "section"))
    if result.paints:
        facts.append(_count(len(result.paints), "paint"))
    good = result.state == "good"
    verdict = tell_verdict(result)
    if verdict == "good" and result.weakest is not None:
        verdict = f"weakest {tell_weakest(result)}"
    sign = "✓" if good else "✗"
    return Caption(
        name=name, facts=" · ".join(facts) or result.source, verdict=f"{sign} {verdict}", good=good
    )


def tell_verdict(result: JobResult) -> str:
    """Return how a job came out, in a few words.

    Parameters
    ----------
    result : JobResult

    Returns
    -------
    str
    """
    if result.state in _SHORT:
        return _SHORT[result.state]
    told = []
    if result.clashes:
        told.append(_count(result.clashes, "clash"))
    others = (result.rules_broken or 0) - (1 if result.clashes else 0)
    if others > 0:
        # On a wall that was assigned, only a rule that is preferred can be broken.
        told.append(f"{_count(others, 'rule')} {'missed' if result.kind == 'assign' else 'broken'}")
    return ", ".join(told) or "good"


def tell_weakest(result: JobResult) -> str:
    """Return the weakest pair's difference and what is proven of it; empty where there is none.

    Parameters
    ----------
    result : JobResult

    Returns
    -------
    str
    """
    weakest = result.weakest
    if weakest is None:
        return ""
    told = f"{weakest.difference:.1f}"
    if weakest.proven:
        return f"{told}, proven"
    return told if weakest.bound is None else f"{told}, at best {weakest.bound:.1f}"


def tell_states(states: Sequence[State]) -> str:
    """Return how many jobs came out how.

    Parameters
    ----------
    states : sequence of State

    Returns
    -------
    str
    """
    count = Counter(states)
    return " · ".join(f"{count[state]} {words}" for state, words in _STATE_WORDS.items() if count[state])


def _count(many: int, noun: str) -> str:
    plural = noun + ("es" if noun.endswith("sh") else "s")
    return f"{many} {noun if many == 1 else plural}"
