"""Machine formats: any result's DataFrame as CSV or as JSON with the forecast's header."""

import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from harmonics.files.spreadsheets import inert
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.flow import Flow
from windows.forecast.reports import Forecast
from windows.render.words import cautions
from windows.render.words.foreseen import full_cautions, not_considered
from windows.render.words.phrases import words_of
from windows.render.words.todays import todays_water
from windows.shoreline.head import Head

if TYPE_CHECKING:
    import pandas as pd


def to_csv(frame: "pd.DataFrame") -> str:
    """The frame as CSV, full precision, empty cells where nothing is known.

    Text that a spreadsheet would run as a formula gets an apostrophe in front.
    """
    text_columns = [name for name in frame.columns if frame[name].dtype.kind in "OUT"]
    safe = frame.copy()
    for name in text_columns:
        safe[name] = [inert(value) if isinstance(value, str) else value for value in frame[name]]
    return str(safe.to_csv(index=False, lineterminator="\n"))


def to_json(frame: "pd.DataFrame", header: Mapping[str, Any]) -> str:
    """The frame's records under `rows`, after the header's keys."""
    records = [
        {key: _plain(value) for key, value in record.items()} for record in frame.to_dict(orient="records")
    ]
    return json.dumps({**header, "rows": records}, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def known(value: Any) -> Any:
    """A header or its value with null for numbers that nobody knows."""
    if isinstance(value, Mapping):
        return {key: known(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [known(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def header(head: Head, made_at: float) -> dict[str, Any]:
    """What every JSON result opens with; the rows' units stand in their column names."""
    return {
        "title": head.title,
        "invented": head.invented,
        "notice": cautions.INVENTED if head.invented else None,
        "time_zone": head.zone.key,
        "units": head.units.value,
        "made_at": f"{datetime.fromtimestamp(math.floor(made_at), UTC):%Y-%m-%dT%H:%M:%S}Z",
        "cautions": list(cautions.FULL),
    }


def flow_factor(flow: Flow) -> dict[str, float | str | None]:
    """Where a flow's factor leaves 0, reaches 1, leaves it and is 0 again, in the unit of the rows."""
    unit, size = ("kn", METRES_PER_SECOND_PER_KNOT) if flow.has_speed else ("m_per_h", 1 / 3600.0)
    corners = {name: value / size for name, value in flow.corners._asdict().items()}
    return {
        **{name: value if math.isfinite(value) else None for name, value in corners.items()},
        "unit": unit,
    }


def forecast_header(forecast: Forecast) -> dict[str, Any]:
    """The header of a forecast: its spots, days, and the days without a window with their reasons."""
    words = words_of(forecast.head)
    return {
        **header(forecast.head, forecast.made_at),
        "cautions": list(full_cautions(forecast, words)),
        "first_day": forecast.first.isoformat(),
        "days": forecast.days,
        "not_considered": not_considered(forecast, words),
        "todays_water": list(todays_water(forecast, words)),
        "spots": [
            {
                "spot": report.spot.id,
                "name": report.spot.name,
                "latitude": report.spot.latitude,
                "longitude": report.spot.longitude,
                "flow_kind": report.flow.kind.value,
                "hours": report.hours.text,
                "water": report.spot.preferences.water.value,
                "rank_group": report.group.value,
                "flow_factor": flow_factor(report.flow),
                "datum": report.spot.station.datum,
                "days_without_window": {
                    day.day.isoformat(): day.no_window.lack.value
                    for day in report.days
                    if day.no_window is not None
                },
            }
            for report in forecast.spots
        ],
    }
