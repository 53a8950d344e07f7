"""When to leave for a session."""

from dataclasses import dataclass

from windows.shoreline.spots import Spot


@dataclass(frozen=True, slots=True)
class Leaving:
    """When to leave for a session.

    Attributes:
        ahead: seconds before it starts.
        travel, rigging: seconds on the way and to be ready, as the file says; None where it does not.
    """

    ahead: float
    travel: float | None
    rigging: float | None

    @property
    def known(self) -> bool:
        """Whether the file says anything of it; else `ahead` is an assumption."""
        return self.travel is not None or self.rigging is not None


ASSUMED_AHEAD = 2700.0
"""Half an hour on the way and a quarter to be ready: an assumption where the file says neither."""
NOT_SAID = Leaving(ASSUMED_AHEAD, None, None)


def leaving_of(spot: Spot) -> Leaving:
    """How long before a session a person leaves for a spot: what its file says, else an assumption."""
    travel, rigging = spot.preferences.travel, spot.preferences.rigging
    if travel is None and rigging is None:
        return NOT_SAID
    return Leaving((travel or 0.0) + (rigging or 0.0), travel, rigging)
