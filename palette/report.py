"""Answers as plain values for JSON, the shapes outside scripts build on; and a proof in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from palette.adjacency import Adjacency
from palette.demands import Verdict
from palette.scheme import Proof

__all__ = ["adjacency_to_dict", "describe_cost", "describe_proof", "verdict_to_dict"]


def adjacency_to_dict(adjacency: Adjacency) -> dict[str, Any]:
    """Return the neighbours as JSON values.

    Parameters
    ----------
    adjacency : Adjacency

    Returns
    -------
    dict
        ``{"neighbours": [{"a", "b", "border_mm", "gap_mm", "corner"}]}``, lengths in mm to 0.01.
    """
    return {
        "neighbours": [
            {
                "a": contact.a,
                "b": contact.b,
                "border_mm": round(contact.border_mm, 2),
                "gap_mm": round(contact.gap_mm, 2),
                "corner": contact.corner,
            }
            for contact in adjacency.contacts
        ]
    }


def verdict_to_dict(verdict: Verdict) -> dict[str, Any]:
    """Return the verdict: ``kept``, ``clashes``, ``breaches`` of the other rules, ``weakest``.

    Each clash has ``a``, ``b``, ``paints``, ``border_mm``, ``difference`` (light to CIEDE2000),
    ``hue_angle`` (light to degrees, null where a paint is weakly coloured) and a ``sentence``;
    each other breach ``rule``, ``sections``, ``sentence`` and its own figures.

    Parameters
    ----------
    verdict : Verdict

    Returns
    -------
    dict
    """
    clashes: list[dict[str, Any]] = []
    others: list[dict[str, Any]] = []
    for breach in verdict.breaches:
        told = {"sentence": breach.sentence, **breach.detail}
        if breach.rule == "clash":
            clashes.append({"a": breach.sections[0], "b": breach.sections[1], **told})
        else:
            others.append({"rule": breach.rule, "sections": list(breach.sections), **told})
    weakest = verdict.weakest
    return {
        "kept": verdict.kept,
        "clashes": clashes,
        "breaches": others,
        "weakest": weakest
        and {
            "a": weakest.a,
            "b": weakest.b,
            "light": weakest.light,
            "difference": round(weakest.difference, 3),
        },
    }


_AIM_WORDS = {
    "preferences": ("Preferred rules are broken", "in {:.0f} places"),
    "weakest-pair": ("The weakest pair of neighbours differs", "by {:.1f} CIEDE2000"),
    "repeats": ("Sections of one paint stand apart", "by at least {:.0f} mm"),
    "balance": ("The most and the least used paint differ", "by {:.0f} sections"),
    "areas": ("The paint that covers most covers", "{:.0f} mm²"),
    "contrast": ("Neighbours differ on the whole", "by {:.1f} CIEDE2000"),
}


def describe_proof(proof: Proof) -> list[str]:
    """Return one sentence for each level of a proof.

    Parameters
    ----------
    proof : Proof

    Returns
    -------
    list of str
    """
    sentences = []
    for level in proof.levels:
        what, amount = _AIM_WORDS.get(level.aim, (level.aim, "{:.1f} " + level.unit))
        told = f"{what} {amount.format(level.value)}"
        if level.proven:
            sentences.append(f"{told}: proven best.")
        else:
            short = abs(level.bound - level.value) / max(abs(level.bound), 1e-9)
            best = amount.format(level.bound)
            stopped = f"stopped after {proof.seconds:.0f} s"
            sentences.append(f"{told}: within {short:.0%} of the best possible ({best}), {stopped}.")
    return sentences


def describe_cost(cost: Mapping[str, tuple[float, float]]) -> list[str]:
    """Return one sentence for each aim of a started scheme: its value, and with a free hand.

    Parameters
    ----------
    cost : mapping of str to (float, float)
        As `palette.solving.Finished` has it, each in its aim's unit.

    Returns
    -------
    list of str
    """
    sentences = []
    for aim, (here, free) in cost.items():
        what, amount = _AIM_WORDS.get(aim, (aim, "{:.1f}"))
        sentences.append(f"{what} {amount.format(here)}; with a free hand {amount.format(free)}.")
    return sentences
