"""Gates of the clock: what shuts a spot whatever its water does."""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Flags
from windows.conditions.intervals import Intervals
from windows.shoreline.gates import Gate, Moment


@dataclass(frozen=True, slots=True)
class Past(Gate):
    """Shut while today is already over, or too near to be there.

    Attributes:
        midnight: of today, POSIX seconds.
        ready: now and the way to the spot.
    """

    midnight: float
    ready: float

    def shut(self, moment: Moment) -> Flags:
        """Where the time is gone."""
        return np.asarray((moment.t >= self.midnight) & (moment.t < self.ready))


@dataclass(frozen=True, eq=False, slots=True)
class OutOfSeason(Gate):
    """Shut outside the months in which the fish one is after is about."""

    months: Intervals

    def shut(self, moment: Moment) -> Flags:
        """Where the month is none of theirs."""
        return ~self.months.hold(moment.t)


@dataclass(frozen=True, eq=False, slots=True)
class OutsideHours(Gate):
    """Shut outside the hours and days on which a person can fish."""

    hours: Intervals

    def shut(self, moment: Moment) -> Flags:
        """Where the time is none of theirs."""
        return ~self.hours.hold(moment.t)
