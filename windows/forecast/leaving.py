"""When to leave for a session."""

import math
from typing import NamedTuple

from windows.shoreline.routes import route
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot


class Leaving(NamedTuple):
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


STEP = 300.0
"""Seconds that a day out counts a way in."""


def leaving_of(spot: Spot, shore: Shore) -> Leaving:
    """How long before a session a person leaves for a spot.

    What the file says of the spot; else what a day out takes from home until fishing counts there, where the
    file has a landing, and not less than the assumption.
    """
    travel, rigging = spot.preferences.travel, spot.preferences.rigging
    if travel is None and rigging is None:
        return Leaving(max(ASSUMED_AHEAD, _day_out(spot, shore)), None, None)
    return Leaving((travel or 0.0) + (rigging or 0.0), travel, rigging)


def _day_out(spot: Spot, shore: Shore) -> float:
    """Seconds from leaving home until fishing counts; 0 without a landing or a way."""
    if not shore.landings:
        return 0.0
    outing = shore.outing
    landing = shore.landing(outing.start or shore.landings[0].id)
    way = route(landing, spot, {item.ends: item for item in shore.ways}, shore.boat)
    if way is None:
        return 0.0
    parts = (outing.from_home, landing.launch, way.seconds, outing.move + outing.settle)
    return sum(math.ceil(seconds / STEP) * STEP for seconds in parts)
