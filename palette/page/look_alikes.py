"""Which paints of a shelf are taken for one another. Plain values."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.page.ground import Ground

__all__ = ["look_alikes"]

_USUAL_LEAST = 20.0


def look_alikes(ground: Ground) -> list[str]:
    """Return a sentence for each two paints too alike for neighbours, saying in which lights.

    How alike is too alike is what the project's own rule says.
    """
    rule = next((rule for rule in ground.brief.rules if rule.kind == "clash"), None)
    least = getattr(rule, "min_difference", None) or _USUAL_LEAST
    appearance = ground.survey.appearance
    tables = {light: appearance.differences(light) for light in appearance.lights}
    sentences = []
    for p, first in enumerate(appearance.paints):
        for q in range(p + 1, len(appearance.paints)):
            near = [light for light in appearance.lights if tables[light][p, q] < least]
            if near:
                far = [light for light in appearance.lights if light not in near]
                told = " and ".join(f"{light} ({tables[light][p, q]:.0f} apart)" for light in near)
                though = f", though not under {' or '.join(far)}" if far else ""
                sentences.append(f"{first} and {appearance.paints[q]} under {told}{though}")
    return sentences
