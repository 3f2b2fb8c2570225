"""A light a panel is seen under."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["BLACKLIGHT", "DAYLIGHT", "Light", "LightKind"]

LightKind = Literal["daylight", "blacklight"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """A light by its name.

    `kind` says which of a paint's two swatches stands for its look under this light when
    nothing better is known of the paint.
    """

    id: str
    kind: LightKind


DAYLIGHT = Light(id="daylight", kind="daylight")
BLACKLIGHT = Light(id="blacklight", kind="blacklight")
