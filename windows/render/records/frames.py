"""Results as pandas DataFrames: one row a record, units in the column names, full precision.

Instants are text, `2026-08-15T04:20:11Z` and local time with its offset; heights metres, speeds knots.
"""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.arrays import Array
from harmonics.stations.currents import CurrentEvents, CurrentKind
from harmonics.stations.events import Turns
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.astronomy import SkyEvent
from windows.forecast.reports import Forecast, SessionReport
from windows.render.words.gates import edge_words
from windows.render.words.reasons import light_words
from windows.shoreline.hours import SunMark
from windows.shoreline.spots import Factor

if TYPE_CHECKING:
    import pandas as pd


class Instants(NamedTuple):
    """Text of instants, in UTC and by the local clock."""

    utc: "np.ndarray[Any, np.dtype[np.str_]]"
    local: "np.ndarray[Any, np.dtype[np.str_]]"


def instants(t: Sequence[float] | Array, zone: ZoneInfo) -> Instants:
    """Instants of POSIX seconds as text, to the nearest second."""
    import pandas as pd

    seconds = np.floor(np.asarray(t, dtype=float) + 0.5).astype("int64").astype("datetime64[s]")
    local = pd.DatetimeIndex(seconds).tz_localize("UTC").tz_convert(zone).tz_localize(None)
    clock = local.to_numpy().astype("datetime64[s]")
    offset = (clock - seconds).astype("int64")
    kinds, which = np.unique(offset, return_inverse=True)
    suffix = np.array([_offset(int(kind)) for kind in kinds], dtype=np.str_)[which]
    utc = np.char.add(np.datetime_as_string(seconds), "Z")
    return Instants(utc, np.char.add(np.datetime_as_string(clock), suffix))


def _offset(seconds: int) -> str:
    sign, size = "-" if seconds < 0 else "+", abs(seconds)
    text = f"{sign}{size // 3600:02d}:{size % 3600 // 60:02d}"
    return f"{text}:{size % 60:02d}" if size % 60 else text


def tides_frame(station: str, turns: Turns, zone: ZoneInfo) -> "pd.DataFrame":
    """High and low waters: station, time_utc, time_local, event, height_m."""
    import pandas as pd

    when = instants(turns.t, zone)
    return pd.DataFrame(
        {
            "station": station,
            "time_utc": when.utc,
            "time_local": when.local,
            "event": np.where(turns.high, "high_water", "low_water"),
            "height_m": turns.height,
        }
    )


EVENT_WORDS = {
    CurrentKind.SLACK_BEFORE_FLOOD: "slack",
    CurrentKind.SLACK_BEFORE_EBB: "slack",
    CurrentKind.FLOOD: "flood",
    CurrentKind.EBB: "ebb",
    CurrentKind.MINIMUM_FLOOD: "least_flood",
    CurrentKind.MINIMUM_EBB: "least_ebb",
}
"""Words of the currents table; a lull without slack is a least flood or ebb."""


def currents_frame(station: str, events: CurrentEvents, zone: ZoneInfo) -> "pd.DataFrame":
    """Slacks, floods and ebbs: station, time_utc, time_local, event, speed_kn (+ flood), direction_deg."""
    import pandas as pd

    when = instants(events.t, zone)
    return pd.DataFrame(
        {
            "station": station,
            "time_utc": when.utc,
            "time_local": when.local,
            "event": [EVENT_WORDS[kind] for kind in events.kind],
            "speed_kn": events.speed / METRES_PER_SECOND_PER_KNOT,
            "direction_deg": events.direction,
        }
    )


def levels_frame(
    station: str, t: Array, height: Array, zone: ZoneInfo, departure: Array | None = None
) -> "pd.DataFrame":
    """Levels: station, time_utc, time_local, height_m; with readings also height_with_departure_m."""
    import pandas as pd

    when = instants(t, zone)
    frame = pd.DataFrame(
        {"station": station, "time_utc": when.utc, "time_local": when.local, "height_m": height}
    )
    return frame if departure is None else frame.assign(height_with_departure_m=height + departure)


def sky_frame(place: str, events: Sequence[SkyEvent], zone: ZoneInfo) -> "pd.DataFrame":
    """Events of sun and moon: place, time_utc, time_local, body, event, value, unit."""
    import pandas as pd

    when = instants([event.t for event in events], zone)
    return pd.DataFrame(
        {
            "place": place,
            "time_utc": when.utc,
            "time_local": when.local,
            "body": [event.body.value for event in events],
            "event": [event.kind.value for event in events],
            "value": pd.Series([event.value for event in events], dtype=float),
            "unit": [event.unit for event in events],
        }
    )


def sessions_frame(forecast: Forecast) -> "pd.DataFrame":
    """Sessions, group by group in order of rank: a row each with window, points by factor and readings.

    A spot whose flow is a speed fills the speed columns, a spot known by its fall the fall columns; only a
    record or weather fills those of `FORESEEN`.
    """
    import pandas as pd

    rows = [_session_row(item) for item in forecast.ranking]
    frame = pd.DataFrame(rows, columns=list(SESSION_COLUMNS) if not rows else None)
    return _with_clocks(frame, forecast.head.zone)


_TIMES = (
    "window_start",
    "window_end",
    "session_start",
    "session_end",
    "peak",
    "strongest",
    "leave_by",
    "last_high_water",
    "next_turn",
    "civil_dawn",
    "sunrise",
    "sunset",
    "civil_dusk",
    "bait_start",
    "bait_end",
    "lead_slips",
)
FORESEEN = ("chance", "level_low_m", "level_high_m", "wind_kn", "chop_m")
"""What a record and the weather tell of a session."""
_MOMENTS = ("start", "peak", "strongest", "end")
_PLAIN_FIRST = ("rank", "rank_group", "spot", "spot_name", "day")
_PLAIN_LAST = (
    "points",
    *(f"points_{factor}" for factor in Factor),
    "points_low",
    "points_high",
    "points_if_30min_early",
    "points_if_30min_late",
    "mean_flow_factor",
    "flow_kind",
    *(f"speed_{moment}_kn" for moment in _MOMENTS),
    *(f"fall_{moment}_m_per_h" for moment in _MOMENTS),
    *(f"level_{moment}_m" for moment in _MOMENTS),
    *(f"departure_{moment}_m" for moment in _MOMENTS),
    *(f"depth_{moment}_m" for moment in _MOMENTS),
    *(f"lead_{moment}_{side}_g" for moment in _MOMENTS for side in ("least", "most")),
    "hours_after_high_water",
    "range_m",
    "light",
    "opens",
    "closes",
    "sky_inside",
    "bait_bank",
    *FORESEEN,
    "notes",
)
SESSION_COLUMNS = (*_PLAIN_FIRST, *_TIMES, *_PLAIN_LAST)


def _session_row(report: SessionReport) -> dict[str, Any]:
    session, window = report.session, report.session.window
    water = report.spot.preferences.water
    high = report.turn_before if report.turn_before is not None and report.turn_before.high else None
    readings = (report.start, report.peak, report.strongest, report.end)
    unit = METRES_PER_SECOND_PER_KNOT if report.flow.has_speed else 1 / 3600.0
    moves = [item.going / unit for item in readings]
    blank = [np.nan] * len(readings)
    speeds, falls = (moves, blank) if report.flow.has_speed else (blank, moves)
    values: Iterable[Any] = (
        report.rank,
        report.group.value,
        report.spot.id,
        report.spot.name,
        report.day.isoformat(),
        window.start,
        window.end,
        session.start,
        session.end,
        session.peak,
        session.strongest,
        _or_nan(report.leave_by),
        high.t if high is not None else np.nan,
        _or_nan(report.stops),
        *(_or_nan(report.sun.get(mark)) for mark in SunMark),
        *_bait_times(report),
        _or_nan(report.lead_slips),
        session.points.total,
        *(session.points[factor] for factor in Factor),
        session.low,
        session.high,
        session.early,
        session.late,
        session.mean_flow,
        report.flow.kind.value,
        *speeds,
        *falls,
        *(item.level for item in readings),
        *(item.departure for item in readings),
        *(_or_nan(item.depth) for item in readings),
        *(1000 * side for item in readings for side in item.lead or (np.nan, np.nan)),
        _or_nan(None if high is None else report.hours_after_turn),
        _or_nan(report.range),
        light_words(session),
        edge_words(window.opens, True, water),
        edge_words(window.closes, False, water),
        " ".join(f"{event.body.value}:{event.kind.value}" for event in report.sky),
        report.bait.bank.id if report.bait else "",
        *_foreseen(report),
        "; ".join(note.value for note in report.notes),
    )
    return dict(zip(SESSION_COLUMNS, values, strict=True))


def _foreseen(report: SessionReport) -> tuple[float, ...]:
    seen, weather = report.session.seen, report.weather
    told = (np.nan,) * 3 if seen is None else (seen.chance, seen.level_low, seen.level_high)
    wind = None if weather is None or weather.wind is None else weather.wind / METRES_PER_SECOND_PER_KNOT
    chop = None if weather is None or weather.chop is None else weather.chop[1]
    return (*told, _or_nan(wind), _or_nan(chop))


def _bait_times(report: SessionReport) -> tuple[float, float]:
    window = None if report.bait is None else report.bait.window
    return (np.nan, np.nan) if window is None else (window.start, window.end)


def _or_nan(value: float | None) -> float:
    return np.nan if value is None else value


def _with_clocks(frame: "pd.DataFrame", zone: ZoneInfo) -> "pd.DataFrame":
    """Each time column as two: UTC and local text, empty where there is no such time."""
    import pandas as pd

    columns: dict[str, Any] = {}
    for name in frame.columns:
        if name not in _TIMES:
            columns[name] = frame[name]
            continue
        t = frame[name].to_numpy(dtype=float)
        known = np.isfinite(t)
        when = instants(np.where(known, t, 0.0), zone)
        columns[f"{name}_utc"] = np.where(known, when.utc, "")
        columns[f"{name}_local"] = np.where(known, when.local, "")
    return pd.DataFrame(columns)
