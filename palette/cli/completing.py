"""What the shell offers at the tab key, where an option takes one of a few words."""

from __future__ import annotations

from collections.abc import Callable, Iterable

__all__ = ["complete_eyes", "complete_grounds", "complete_kinds", "complete_lights", "complete_views"]

_Offer = Callable[[str], list[str]]


def _offer(read_words: Callable[[], Iterable[str]]) -> _Offer:
    # The words are asked for when the tab key is pressed, so that no other command pays for them.
    def offer(incomplete: str) -> list[str]:
        return [word for word in read_words() if word.lower().startswith(incomplete.lower())]

    return offer


def _lights() -> Iterable[str]:
    import palette

    return palette.LIGHT_NAMES


def _grounds() -> Iterable[str]:
    import palette

    return palette.GROUND_NAMES


def _kinds() -> Iterable[str]:
    import palette

    return palette.RULE_KINDS


complete_lights = _offer(_lights)
complete_views = _offer(lambda: ("both", "split", "change", *_lights()))
complete_grounds = _offer(_grounds)
complete_kinds = _offer(_kinds)
complete_eyes = _offer(lambda: ("protan", "deutan", "tritan"))
