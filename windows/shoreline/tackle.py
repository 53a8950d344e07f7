"""Line and lead, frozen: what a person fishes the bottom with."""

from enum import StrEnum, unique
from typing import NamedTuple


@unique
class SinkerKind(StrEnum):
    """A kind of sinker; each has a grip on sand, from the poorest to the best one may hope for."""

    BANK = "bank"
    EGG = "egg"
    PYRAMID = "pyramid"

    @property
    def poorest(self) -> float:
        """Grip when it drags: needs the most lead."""
        return _GRIP[self][0]

    @property
    def best(self) -> float:
        """Grip when it sits well: needs the least lead."""
        return _GRIP[self][1]


_GRIP = {
    SinkerKind.BANK: (0.4, 0.6),
    SinkerKind.EGG: (0.4, 0.6),
    SinkerKind.PYRAMID: (0.8, 1.2),
}


class Tackle(NamedTuple):
    """What a person fishes the bottom with.

    Attributes:
        line_diameter: metres.
        sinker: kind of sinker.
        heaviest_lead: the heaviest one carries, kilograms; None where not said.
    """

    line_diameter: float = 0.00023
    sinker: SinkerKind = SinkerKind.BANK
    heaviest_lead: float | None = None
