"""Forecasts over a part of a record, by what the part before it tells, set against what happened."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.errors import EbblightError
from harmonics.fitting.analysis import fit
from harmonics.records.cleaning import SHORTEST_DAYS, residuals_of
from harmonics.records.observed import departure
from harmonics.records.residuals import Residuals
from harmonics.records.scenarios import LEAD_DAYS, TAIL_DAYS, Scenarios
from harmonics.records.splines import even_curve
from harmonics.records.store import StationRecord, answered
from harmonics.records.verification import range_of_eight_in_ten, spread
from harmonics.records.weather import Weather
from harmonics.stations import tides
from harmonics.stations.types import Station, primary_of
from harmonics.units import DAY, HOUR
from windows.conditions.assembly import MARGIN, STEP, conditions_of, curve_of
from windows.conditions.cases import Water
from windows.conditions.outlook import Outlook
from windows.conditions.record_cases import RecordCases
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.conditions.span import Span
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.expected import TIE, Expected, between, summed
from windows.forecast.planning import find_windows
from windows.forecast.proof import Lead, LevelError, Proof, ProvenHours, ProvenSession, TurnTimes
from windows.forecast.sessions import Session, find_sessions, ranked
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

LONG_AGO = 0.0
BLOCK_DAYS = 14
NEAR = 1.5 * DAY
NEAREST_TURN = 3 * HOUR
"""A turn is looked for so near the predicted one."""
LEADS = (1, 3, 6, 12, 24, 48)
READ_EVERY = 25
"""Hours between the readings that are tried: every hour of the day has its turn."""
LOOK_BACK = 60
"""Days of readings before each."""


@dataclass(frozen=True, eq=False)
class Observed:
    """A record to prove forecasts by.

    Attributes:
        t, level: readings: POSIX seconds, and metres.
        weather: of its time; None where it is not known.
        where: what messages call it.
    """

    t: Array
    level: Array
    weather: Weather | None
    where: str


def make_proof(
    shore: Shore,
    station: Station,
    spots: Sequence[Spot],
    observed: Observed,
    made_at: float,
    first: date | None = None,
    refit: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Proof:
    """What forecasts at some spots would have been worth over the later part of a record.

    Args:
        shore: the file they come from.
        station: with constants of its own, whose record it is.
        spots: that have their water from it.
        observed: the record.
        made_at: the clock, POSIX seconds.
        first: local day that the judged part begins with; the last third of the record where None.
        refit: whether constants come from the first part instead of the file.
        progress: called with the share that is judged, 0 to 1.

    Raises:
        EbblightError: either part is too short, or the record is not of this station.
    """
    zone = shore.head.zone
    t, end = observed.t, float(observed.t[-1])
    begin = float(t[0]) + (end - float(t[0])) * 2.0 / 3.0
    day = datetime.fromtimestamp(begin, UTC).astimezone(zone).date() if first is None else first
    start = Span.of(day, 1, zone).start
    before = t < start
    if not before.any() or start >= end - BLOCK_DAYS * DAY:
        raise EbblightError(
            f"{observed.where}: readings from {_day(t[0])} to {_day(end)}; expected a part before {day} and "
            f"{BLOCK_DAYS} days or more after it"
        )
    if (learned_days := float(t[before][-1] - t[0]) / DAY) < SHORTEST_DAYS:
        raise EbblightError(
            f"{observed.where}: found {learned_days:.0f} days of readings before {day}, from which is "
            f"learned; expected at least {SHORTEST_DAYS:.0f} of {1.5 * SHORTEST_DAYS:.0f} or more"
        )
    used = _fitted(station, observed, before) if refit else station
    learned = residuals_of(used, t[before], observed.level[before], observed.where)
    weather = observed.weather
    record = (
        StationRecord(used, learned) if weather is None else answered(used, learned, weather.before(start))
    )
    whole = residuals_of(used, t, observed.level, observed.where)
    real = whole.between(start - MARGIN - LEAD_DAYS * DAY, end)
    kept = record.response if record.response is not None and record.response.used else None
    explained = (
        None if kept is None or weather is None else kept.hourly(weather, whole.start, len(whole.level))
    )
    record = StationRecord(used, whole, record.response, explained)
    days = int((end - start) // DAY)
    judge = _Judge(record, real, zone_days=(day, days), shore=shore)
    sessions, hours, hidden = judge.every([_with_station(spot, used) for spot in spots], progress)
    judged = real.between(start, end)
    return Proof(
        head=shore.head,
        made_at=made_at,
        station=used,
        refitted=refit,
        learned=float(t[0]),
        start=start,
        end=start + days * DAY,
        sessions=tuple(sessions),
        hidden=hidden,
        hours=ProvenHours.joined(hours),
        turns=_turns(used, judged),
        error=_error(used, judged, record, weather),
        response=None if record.response is None else record.response.share,
        leads=_leads(used, real),
    )


def _day(t: float) -> str:
    return f"{datetime.fromtimestamp(float(t), UTC):%Y-%m-%d}"


def _fitted(station: Station, observed: Observed, before: Flags) -> Station:
    found = fit(observed.t[before], observed.level[before], practice=station.practice)
    return replace(station, constants=found.constants(trusted_only=True), mean_level=found.mean)


def _with_station(spot: Spot, station: Station) -> Spot:
    place = spot.station
    own = station if isinstance(place, Station) else replace(place, reference=station)
    return replace(spot, station=own)


class _Judge:
    """Judges fortnight by fortnight."""

    def __init__(
        self, record: StationRecord, real: Residuals, zone_days: tuple[date, int], shore: Shore
    ) -> None:
        self.record = record
        self.real = real
        self.first, self.days = zone_days
        self.zone = shore.head.zone
        self.known = np.isfinite(real.level)
        self.level = np.interp(real.t, real.t[self.known], real.level[self.known])

    def every(
        self, spots: Sequence[Spot], progress: Callable[[float], None] | None
    ) -> tuple[list[ProvenSession], list[ProvenHours], int]:
        """Sessions and hours of all spots, and how many sessions a gap hides."""
        sessions: list[ProvenSession] = []
        hours: list[ProvenHours] = []
        hidden = done = 0
        for spot in spots:
            for offset in range(0, self.days, BLOCK_DAYS):
                count = min(BLOCK_DAYS, self.days - offset)
                span = Span.of(self.first + timedelta(days=offset), count, self.zone)
                outlook = Outlook(LONG_AGO, records={self.record.station.id: self.record.before(span.start)})
                conditions = conditions_of(spot, span, outlook)
                if not isinstance(conditions.cases, RecordCases):
                    raise EbblightError(f"{self.record.station.name}: {conditions.no_chance}")
                told, seen, unknown = self._fortnight(conditions, span)
                sessions += told
                hours.append(seen)
                hidden += unknown
                done += 1
                if progress is not None:
                    progress(done / (len(spots) * -(-self.days // BLOCK_DAYS)))
        return sessions, hours, hidden

    def _fortnight(self, conditions: Conditions, span: Span) -> tuple[list[ProvenSession], ProvenHours, int]:
        curve = curve_of(conditions, span)
        expected = Expected(conditions, curve)
        windows = find_windows(conditions, curve, span.start - NEAR, span.end + NEAR)
        found = ranked(find_sessions(conditions, expected, windows, span.edges))
        inside = sorted((s for s in found if span.start <= s.start < span.end), key=lambda s: s.start)
        water = Water(float(curve.t[0]), STEP, curve.level - curve.departure, curve.departure, curve.outgoing)
        level, outgoing = next(self._really(conditions, span).of(water))
        worth = conditions.in_case(curve, level, outgoing)[1]
        total = summed(worth)
        told: list[ProvenSession] = []
        for session in inside:
            if self._whole(session.start, session.end):
                told.append(_proven(conditions.spot, session, curve, total, level))
        return told, self._hours(conditions, span, curve, water, (level, worth)), len(inside) - len(told)

    def _hours(
        self, conditions: Conditions, span: Span, curve: ScoreCurve, water: Water, real: tuple[Array, Array]
    ) -> ProvenHours:
        steps = np.flatnonzero((curve.t >= span.start) & (curve.t < span.end) & (curve.t % HOUR == 0.0))
        steps = steps[[self._whole(float(t), float(t)) for t in curve.t[steps]]]
        good, levels = [], []
        for level, outgoing in conditions.cases.of(water):
            good.append(conditions.in_case(curve, level, outgoing)[1][steps] >= LEAST_FLOW_FACTOR)
            levels.append(level[steps])
        plain = conditions.in_case(curve, curve.level, curve.outgoing)[1][steps] >= LEAST_FLOW_FACTOR
        low, high = range_of_eight_in_ten(np.stack(levels))
        level, worth = real[0][steps], real[1][steps]
        came = worth >= LEAST_FLOW_FACTOR
        return ProvenHours(curve.t[steps], np.mean(good, axis=0), plain, came, low, high, level)

    def _really(self, conditions: Conditions, span: Span) -> RecordCases:
        """The water as it was, as the only case."""
        assert isinstance(conditions.cases, RecordCases)
        start, end = span.start - MARGIN, span.end + MARGIN
        first = float(np.floor((start - LEAD_DAYS * DAY) / HOUR) * HOUR)
        count = int(np.ceil((end + TAIL_DAYS * DAY - first) / HOUR)) + 1
        level = np.interp(first + HOUR * np.arange(count), self.real.t, self.level)[None]
        only = Scenarios(self.record.station, first, level, level, np.array([first]), 0.0)
        return replace(conditions.cases, blocks=(only,), edges=(start, end + STEP), away=0.0)

    def _whole(self, start: float, end: float) -> bool:
        """Whether the record knows the hours around a stretch."""
        first = int((start - self.real.start) // HOUR) - 1
        last = int(-(-(end - self.real.start) // HOUR)) + 2
        return first >= 0 and last <= len(self.known) and bool(self.known[first:last].all())


def _proven(spot: Spot, session: Session, curve: ScoreCurve, total: Array, level: Array) -> ProvenSession:
    assert session.seen is not None
    ends = np.array([session.start]), np.array([session.end])
    length = session.end - session.start
    return ProvenSession(
        spot,
        session.start,
        session.end,
        session.points.total,
        session.seen.chance,
        bool(between(total, curve.t, *ends)[0] >= (LEAST_FLOW_FACTOR - TIE) * length),
        session.seen.level_low,
        session.seen.level_high,
        float(np.interp(session.peak, curve.t, level)),
    )


def _turns(station: Station, real: Residuals) -> TurnTimes:
    """Turns of the level as it was, nearest the predicted ones."""
    start, end = real.start + 2 * HOUR, real.end - 3 * HOUR
    count = int((end - start) // STEP)
    known = np.isfinite(real.level)
    level = np.interp(real.t, real.t[known], real.level[known])
    away = even_curve(level[None], real.start, start, STEP, count)[0]
    height = tides.even_levels(station, start, STEP, count) + away
    t = start + STEP * np.arange(count)
    turns = tides.high_low_waters(station, start + NEAREST_TURN, end - NEAREST_TURN).turns
    late: list[float] = []
    missing = 0
    for k, (time, high) in enumerate(zip(turns.t.tolist(), turns.high.tolist(), strict=True)):
        gaps = np.diff(turns.t[max(k - 1, 0) : k + 2])
        reach = min(NEAREST_TURN, *(float(gap) / 2.0 for gap in gaps))
        near = slice(*np.searchsorted(t, [time - reach, time + reach]))
        hours = slice(*np.searchsorted(real.t, [time - reach - HOUR, time + reach + HOUR]))
        if not known[hours].all() or near.stop - near.start < 3:
            continue
        at = int((height[near] if high else -height[near]).argmax())
        if at in (0, near.stop - near.start - 1):
            missing += 1
        else:
            late.append(float(t[near][at]) - time)
    mean, deviation, found = spread(late)
    return TurnTimes(mean, deviation, found, missing)


def _error(station: Station, real: Residuals, record: StationRecord, weather: Weather | None) -> LevelError:
    mean, deviation, _ = spread(real.level)
    tide = float(tides.even_levels(station, real.start, HOUR, len(real.level)).std())
    if weather is None or record.response is None or not record.response.used:
        return LevelError(mean, deviation, None, None, tide)
    explained = record.response.hourly(weather, real.start, len(real.level))
    left = real.level - explained
    same = np.where(np.isfinite(explained), real.level, np.nan)
    return LevelError(mean, deviation, spread(left)[1], spread(same)[1], tide)


def _leads(station: Station, real: Residuals) -> tuple[Lead, ...]:
    """What is left some hours after a reading, by what is made of the reading."""
    level = tides.even_levels(station, real.start, HOUR, len(real.level)) + real.level
    errors: dict[int, list[tuple[float, float, float]]] = {lead: [] for lead in LEADS}
    for now in range(LOOK_BACK * 24, len(level) - max(LEADS), READ_EVERY):
        past = slice(now - LOOK_BACK * 24, now + 1)
        if not np.isfinite(real.level[now - 3 : now + 1]).all():
            continue
        found = departure(station, real.t[past], level[past], float(real.t[now]))
        for lead in LEADS:
            was = float(real.level[now + lead])
            if np.isfinite(was):
                fading = was - float(found.at(real.t[now + lead]))
                errors[lead].append((fading, was - found.height, was))
    out: list[Lead] = []
    for lead, every in errors.items():
        if every:
            fading, persistence, nothing = np.sqrt(np.mean(np.square(every), axis=0)).tolist()
            out.append(Lead(float(lead), fading, persistence, nothing, len(every)))
    return tuple(out)


def station_to_prove(shore: Shore, name: str | None) -> Station:
    """The station of that id, or the only one with a record.

    Raises:
        EbblightError: it has no record, or the choice is open.
    """
    known = ", ".join(shore.records) or "none"
    if name is None and len(shore.records) == 1:
        name = next(iter(shore.records))
    if name is None:
        raise EbblightError(
            f"{shore.path}: which station? Name one with --station; those with a record: {known}"
        )
    station = primary_of(shore.station(name))
    if station.id not in shore.records:
        raise EbblightError(f"{shore.path}: station '{name}' names no record; those with a record: {known}")
    return station
