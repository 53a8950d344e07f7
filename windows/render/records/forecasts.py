"""A forecast's sessions as CSV and as JSON."""

from windows.forecast.reports import Forecast
from windows.render.records.frames import sessions_frame
from windows.render.records.tables import forecast_header, to_csv, to_json


def forecast_csv(forecast: Forecast) -> str:
    """Sessions in order of rank, a row each."""
    return to_csv(sessions_frame(forecast))


def forecast_json(forecast: Forecast) -> str:
    """The same rows after a header with spots, days, and the days without a window."""
    return to_json(sessions_frame(forecast), forecast_header(forecast))
