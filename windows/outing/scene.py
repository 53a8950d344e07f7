"""A shore over a stretch of time, sampled for planning: water at its landing, ways, banks and spots."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from harmonics.arrays import Array, Flags, Ints
from harmonics.stations import tides
from harmonics.stations.types import TideStation, primary_of
from windows.conditions.assembly import STEP
from windows.conditions.bait import BankState, GatheringWindow
from windows.conditions.cases import Water
from windows.conditions.outlook import Outlook
from windows.forecast.expected import chance_of, summed
from windows.forecast.preparations import state_of, windows_of
from windows.forecast.reports import SpotReport
from windows.outing.ground import NO_WAY, Ground, clear
from windows.shoreline.gates import Limit
from windows.shoreline.outings import Boat, Landing, Outing, Sill, Way
from windows.shoreline.routes import Place, Route, route
from windows.shoreline.spots import Bank

HOUR = 3600.0
NO_SHIFT = 0


@dataclass(frozen=True, eq=False)
class SpotCases:
    """A spot in each case of how wrong its water can be, at the forecast's steps; all of shape (cases, n).

    Attributes:
        points: of all factors.
        worth: flow factor where the limits are open that the water decides, else 0.
        open: where those limits are open.
    """

    points: Array
    worth: Array
    open: Flags


class Scene:
    """Everything of a shore that plans are made from, at the forecast's steps.

    Attributes:
        t: POSIX seconds of the steps' ends, shape (n,).
        reports: of the spots, in the file's order.
        banks: where bait can be gathered and to which a way is known.
        places: the landing, the banks, the spots.
    """

    def __init__(
        self,
        reports: Sequence[SpotReport],
        landing: Landing,
        banks: Iterable[Bank],
        ways: Iterable[Way],
        boat: Boat | None,
        outing: Outing,
        outlook: Outlook,
    ) -> None:
        self.reports = tuple(reports)
        self.t = self.reports[0].curve.t
        self.landing = landing
        self.outing = outing
        self.outlook = outlook
        self.boat = boat
        self._ways = {way.ends: way for way in ways}
        self._levels: dict[str, Array] = {}
        self._cases: dict[int, SpotCases] = {}
        self._case_levels: dict[str, Array] = {}
        self.banks = tuple(bank for bank in banks if self.route(landing, bank) is not None)
        self.places: tuple[Place, ...] = (landing, *self.banks, *(item.spot for item in self.reports))

    def route(self, one: Place, other: Place) -> Route | None:
        """The way between two places."""
        return route(one, other, self._ways, self.boat)

    def step(self, t: float) -> int:
        """The point in time at or before t."""
        return int(np.floor((t - self.t[0]) / STEP + 1e-6))

    def level(self, station: TideStation) -> Array:
        """Levels at the points in time, with what readings and weather tell; metres above datum."""
        if station.id not in self._levels:
            level = self._predicted(station)
            known = self.outlook.level_known(station, float(self.t[0]), float(self.t[-1]))
            self._levels[station.id] = level if known is None else level + known.at(self.t)
        return self._levels[station.id]

    def _predicted(self, station: TideStation) -> Array:
        return tides.even_levels(station, float(self.t[0]), STEP, len(self.t))

    def sill_open(self, sill: Sill, later: int = NO_SHIFT) -> Flags:
        """Points in time at which a sill has the water it wants, the tide coming some steps later."""
        return sill.open_at(shifted(self.level(sill.station), later))

    def ramp_open(self, later: int = NO_SHIFT) -> Flags:
        """Points in time at which the landing can be used."""
        sill = self.landing.sill
        return np.ones(len(self.t), dtype=bool) if sill is None else self.sill_open(sill, later)

    @cached_property
    def gathering(self) -> tuple[tuple[GatheringWindow, ...], ...]:
        """Gathering windows of each bank, by daylight at the first spot; none where it is never flooded."""
        altitude = self.reports[0].curve.sun_altitude
        return tuple(
            windows_of(bank, self.t, self.level(bank.station), altitude)
            if state_of(bank, float(self.t[0])) is not BankState.ABOVE_HIGH_WATER
            else ()
            for bank in self.banks
        )

    @cached_property
    def expected(self) -> tuple[Array, ...]:
        """Expected points of each spot at the points in time."""
        return tuple(report.expected for report in self.reports)

    def cases(self, index: int) -> SpotCases:
        """A spot in each case of how wrong its water can be."""
        if index not in self._cases:
            conditions, curve = self.reports[index].conditions, self.reports[index].curve
            predicted = curve.level - curve.departure
            water = Water(float(curve.t[0]), STEP, predicted, curve.departure, curve.outgoing)
            every = [conditions.in_case(curve, *case) for case in conditions.cases.of(water)]
            self._cases[index] = SpotCases(
                np.stack([case.points.sum(axis=0) for case in every]),
                np.stack([case.worth for case in every]),
                np.stack([case.open for case in every]),
            )
        return self._cases[index]

    def chance(self, index: int, steps: slice) -> float | None:
        """How often such water came at a spot over some steps; None where nobody has seen it."""
        if self.gauge(index) is None:
            return None
        worth = self.cases(index).worth[:, steps]
        return chance_of(summed(worth)[:, -1], STEP * (worth.shape[1] - 1))

    def gauge(self, index: int) -> str | None:
        """Id of the station by whose record a spot's cases go; None where they are shifts of its time."""
        report = self.reports[index]
        return primary_of(report.spot.station).id if report.conditions.cases.seen else None

    def sill_open_in_cases(self, sill: Sill, gauge: str) -> Flags | None:
        """As `sill_open` in each case of a record, shape (cases, n); None for a sill of another gauge."""
        station = sill.station
        if primary_of(station).id != gauge:
            return None
        if station.id not in self._case_levels:
            from windows.conditions.record_cases import RecordCases

            told = (
                report.conditions.cases for k, report in enumerate(self.reports) if self.gauge(k) == gauge
            )
            cases = next(item for item in told if isinstance(item, RecordCases))
            self._case_levels[station.id] = cases.levels(
                station, float(self.t[0]), STEP, self._predicted(station)
            )
        return sill.open_at(self._case_levels[station.id])

    @cached_property
    def fishable(self) -> tuple[Flags, ...]:
        """Points in time at which each spot is fished: fishable, with its keep mark's points."""
        return tuple(
            np.asarray(report.curve.fishable & (report.expected >= report.spot.preferences.keep))
            for report in self.reports
        )

    def spot_open(self, index: int, later: int = NO_SHIFT) -> Flags:
        """Points in time at which one may be at a spot, what its water shuts coming some steps later."""
        curve = self.reports[index].curve
        if later == NO_SHIFT:
            return curve.open
        shut = [
            shifted(flags, later) if isinstance(gate, Limit) else flags for gate, flags in curve.shut.items()
        ]
        return np.asarray(~np.any([np.zeros(len(self.t), dtype=bool), *shut], axis=0))

    @property
    def margin(self) -> int:
        """Whole steps of the margin that a day out keeps."""
        return steps_of(self.outing.margin)

    def ground(self, indices: Sequence[int], margin: int, free_ramp: bool = False) -> Ground:
        """The planning problem of some spots.

        Args:
            indices: of the spots among `reports`.
            margin: steps that a landing or way must have been open before its use and stay open after.
            free_ramp: True where the landing and the ways are taken to be open at any water.
        """
        steps = len(self.t) - 1
        worth = np.zeros((len(indices), steps))
        open_ = np.zeros((len(indices), steps), dtype=bool)
        for row, index in enumerate(indices):
            open_[row] = both_ends(self.spot_open(index))
            points = self.expected[index]
            mean = 0.5 * (points[1:] + points[:-1])
            worth[row] = np.where(both_ends(self.fishable[index]), mean, 0.0) * STEP / HOUR
        banks = np.zeros((len(self.banks), steps), dtype=bool)
        for row, windows in enumerate(self.gathering):
            for window in windows:
                banks[row] |= (self.t[:-1] >= window.start) & (self.t[1:] <= window.end)
        ramp = np.ones(steps, dtype=bool) if free_ramp else both_ends(within(self.ramp_open(), margin))
        ways, gates = self._between(indices, margin)
        return Ground(worth, open_, banks, ramp, ways, {} if free_ramp else gates)

    def _between(self, indices: Sequence[int], margin: int) -> tuple[Ints, dict[tuple[int, int], Flags]]:
        """Steps between the landing, the banks and some spots, and what the water shuts of the ways."""
        first = 1 + len(self.banks)
        places = [*self.places[:first], *(self.reports[index].spot for index in indices)]
        ways = np.full((len(places), len(places)), NO_WAY, dtype=np.int64)
        gates: dict[tuple[int, int], Flags] = {}
        for a, one in enumerate(places):
            for b, other in enumerate(places[:a]):
                found = self.route(one, other)
                if found is None:
                    continue
                ways[a, b] = ways[b, a] = max(1, steps_of(found.seconds))
                if found.sill is not None:
                    gates[a, b] = gates[b, a] = both_ends(within(self.sill_open(found.sill), margin))
        return ways, gates


def steps_of(seconds: float) -> int:
    """Whole steps that hold so many seconds."""
    return int(np.ceil(seconds / STEP - 1e-9))


def within(flags: Flags, margin: int) -> Flags:
    """Points at which the flags hold, and so at each point up to some steps before and after.

    Beyond the ends nothing is known, and so nothing shuts.
    """
    unknown = np.ones(margin, dtype=bool)
    return clear(np.concatenate((unknown, flags, unknown)), 2 * margin + 1)[: len(flags)]


def both_ends(flags: Flags) -> Flags:
    """Steps at both ends of which the flags hold."""
    return np.asarray(flags[:-1] & flags[1:])


def shifted(values: np.ndarray, later: int) -> np.ndarray:
    """The values coming some steps later; beyond the ends they stay as they are at the end."""
    index = np.clip(np.arange(len(values)) - later, 0, len(values) - 1)
    return np.asarray(values[index])
