"""Values that are sentences already."""

from __future__ import annotations

from collections.abc import Sequence

from palette.demands import Breach
from palette.notebook.shown import Shown, listing, paragraph
from palette.solving import Certificate
from palette.swatch_study import LookalikePair
from palette.tracing.corners import CornerGuess

__all__ = [
    "show_breach",
    "show_breaches",
    "show_certificate",
    "show_corners",
    "show_lookalike",
    "show_lookalikes",
]


def show_breach(breach: Breach) -> Shown:
    """Show where a rule is broken."""
    return _sentence(breach.sentence)


def show_breaches(breaches: Sequence[Breach]) -> Shown:
    """Show where rules are broken."""
    return _sentences([breach.sentence for breach in breaches])


def show_lookalike(pair: LookalikePair) -> Shown:
    """Show under which lights two paints look alike."""
    return _sentence(f"{pair.sentence()}.")


def show_lookalikes(pairs: Sequence[LookalikePair]) -> Shown:
    """Show which paints look alike, and under which lights."""
    return _sentences([f"{pair.sentence()}." for pair in pairs])


def show_certificate(certificate: Certificate) -> Shown:
    """Show what is proven."""
    return _sentence(certificate.claim)


def show_corners(guess: CornerGuess) -> Shown:
    """Show where a panel's corners seem to be, and how sure that is."""
    at = " ".join(f"{x:.0f},{y:.0f}" for x, y in guess.corners)
    return _sentence(f"Corners: {at}; " + ("sure." if guess.sure else f"not sure, because {guess.doubt}."))


def _sentence(told: str) -> Shown:
    return Shown(words=told, markup=(paragraph(told),))


def _sentences(told: Sequence[str]) -> Shown:
    return Shown(words=" ".join(told), markup=(listing(told),))
