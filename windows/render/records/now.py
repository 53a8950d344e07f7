"""The water of this minute as rows: one a spot."""

from typing import TYPE_CHECKING, Any

import numpy as np

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.forecast.now import NowReport, SpotNow
from windows.render.records.frames import instants
from windows.render.records.tables import header, to_csv, to_json
from windows.render.words.gates import WORDS
from windows.render.words.phrases import words_of
from windows.render.words.todays import todays_water
from windows.shoreline.spots import Factor

if TYPE_CHECKING:
    import pandas as pd

_TIMES = ("time", "since", "until", "window_start", "window_end", "next_start", "next_end", "leave_by")


def now_frame(report: NowReport) -> "pd.DataFrame":
    """A row a spot: instants in UTC and by the local clock, metres, knots or metres an hour, minutes.

    Outgoing movement counts positive; a spot whose flow is a speed fills `speed_kn`, one known by its fall
    `fall_m_per_h`. Only a record fills `chance`, of the window, and `next_chance`, of the next session.
    """
    import pandas as pd

    frame = pd.DataFrame([_row(item) for item in report.spots])
    parts: dict[str, Any] = {}
    for name in frame.columns:
        if name not in _TIMES:
            parts[name] = frame[name]
            continue
        known = frame[name].notna().to_numpy()
        utc, local = (np.full(len(frame), "", dtype=object) for _ in range(2))
        if known.any():
            when = instants(frame[name].to_numpy(dtype=float)[known], report.head.zone)
            utc[known], local[known] = when.utc, when.local
        parts[f"{name}_utc"], parts[f"{name}_local"] = utc, local
    return pd.DataFrame(parts)


def now_csv(report: NowReport) -> str:
    """The rows alone."""
    return to_csv(now_frame(report))


def now_json(report: NowReport) -> str:
    """The rows after a header."""
    readings = list(todays_water(report.forecast, words_of(report.head)))
    return to_json(now_frame(report), {**header(report.head, report.t), "todays_water": readings})


def _row(item: SpotNow) -> dict[str, Any]:
    reading, flow = item.reading, item.report.flow
    window, following = item.window, item.next
    seen = None if following is None else following.session.seen
    unit = METRES_PER_SECOND_PER_KNOT if flow.has_speed else 1 / 3600.0
    moves = item.outgoing / unit
    return {
        "spot": item.spot.id,
        "spot_name": item.spot.name,
        "time": reading.t,
        "level_m": reading.level,
        "departure_m": reading.departure,
        "depth_m": _number(reading.depth),
        "flow_kind": flow.kind.value,
        "speed_kn": moves if flow.has_speed else np.nan,
        "fall_m_per_h": np.nan if flow.has_speed else moves,
        "since": np.nan if item.since is None else item.since.t,
        "until": np.nan if item.until is None else item.until.t,
        "points": item.points.total,
        **{f"points_{factor}": item.points[factor] for factor in Factor},
        "shut": "" if item.shut is None else WORDS[type(item.shut)].shut,
        "window_start": np.nan if window is None else window.start,
        "window_end": np.nan if window is None else window.end,
        "window_left_min": np.nan if item.left is None else item.left / 60.0,
        "chance": _number(item.chance),
        "next_start": np.nan if following is None else following.session.start,
        "next_end": np.nan if following is None else following.session.end,
        "next_points": np.nan if following is None else following.session.points.total,
        "next_chance": np.nan if seen is None else _number(seen.chance),
        "leave_by": np.nan if following is None else _number(following.leave_by),
    }


def _number(value: float | None) -> float:
    return np.nan if value is None else value
