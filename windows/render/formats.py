"""The registry of formats a forecast can be written in: a finished forecast in, text or bytes out."""

from collections.abc import Callable
from dataclasses import dataclass

from windows.forecast.reports import Forecast


@dataclass(frozen=True)
class Wish:
    """How a forecast is wanted.

    Attributes:
        table: the command's own text for people, from forecast and width.
        width: columns of the screen.
        source: name of the file it was made from.
        mark: points from which a session gets a calendar entry; None for each spot's keep mark.
    """

    table: Callable[[Forecast, int], str]
    width: int
    source: str
    mark: float | None = None


def _table(forecast: Forecast, wish: Wish) -> str:
    return wish.table(forecast, wish.width)


def _csv(forecast: Forecast, wish: Wish) -> str:
    from windows.render.records.frames import sessions_frame
    from windows.render.records.tables import to_csv

    return to_csv(sessions_frame(forecast))


def _json(forecast: Forecast, wish: Wish) -> str:
    from windows.render.records.frames import sessions_frame
    from windows.render.records.tables import forecast_header, to_json

    return to_json(sessions_frame(forecast), forecast_header(forecast))


def _page(forecast: Forecast, wish: Wish) -> str:
    from windows.render.page.document import page

    return page(forecast, wish.source)


def _svg(forecast: Forecast, wish: Wish) -> str:
    from windows.render.chart.drawing import svg_days

    return svg_days(forecast)


def _png(forecast: Forecast, wish: Wish) -> bytes:
    from windows.render.chart.picture import png

    return png(forecast)


def _ics(forecast: Forecast, wish: Wish) -> str:
    from windows.render.calendar.entries import calendar

    return calendar(forecast, wish.mark)


def _text(forecast: Forecast, wish: Wish) -> str:
    from windows.render.text.message import message

    return message(forecast)


FORMATS: dict[str, Callable[[Forecast, Wish], str | bytes]] = {
    "table": _table,
    "csv": _csv,
    "json": _json,
    "page": _page,
    "svg": _svg,
    "png": _png,
    "ics": _ics,
    "text": _text,
}
