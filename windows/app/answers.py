"""Results for pages and files to keep: what the command makes, made in the pages' own thread."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from windows.app.asking import PLAN, Asked, spots_of
from windows.app.wishes import outing_of
from windows.conditions.knowledge import outlook_of
from windows.conditions.todays_water import Reading
from windows.forecast.making import make_forecast
from windows.forecast.now import make_now
from windows.outing.making import make_plans
from windows.render.formats import RenderOptions, ResultKind, suffix_of, write
from windows.render.page.around import Site
from windows.render.page.document import forecast_page
from windows.render.page.instant import now_page
from windows.render.page.opening import Opening
from windows.render.page.outing import plan_page
from windows.shoreline.hours import parse_hours
from windows.shoreline.shore import Shore

AFTERNOON = "12:00-sunset+1h"
PAGE = "page"
WIDTH = 100
Count = Callable[[int], None]


@dataclass(frozen=True)
class Kept:
    """A file to keep: its type for the browser, in a format of the registry."""

    form: str
    media: str


KEPT: Mapping[str, Kept] = {
    "page": Kept("page", "text/html"),
    "ics": Kept("ics", "text/calendar"),
    "png": Kept("png", "image/png"),
    "csv": Kept("csv", "text/csv"),
    "text": Kept("text", "text/plain"),
}
"""Formats that a page offers to keep, in the order of the offer."""
_KINDS = {
    "week": (ResultKind.WEEK, Opening.WEEK, "any"),
    "best": (ResultKind.BEST, Opening.BEST, AFTERNOON),
    "compare": (ResultKind.COMPARE, Opening.COMPARE, "any"),
}


def forecast_bytes(
    shore: Shore, asked: Asked, now: float, site: Site, form: str | None, count: Count
) -> bytes:
    """A forecast as a page of the site, or as a file to keep.

    Args:
        shore: with at least one spot.
        asked: of it.
        now: the clock, POSIX seconds.
        site: what stands around the page.
        form: of the file; None for the page.
        count: called with the number of spots done.

    Raises:
        EbblightError: it can't be made; the message says why.
    """
    spots = spots_of(shore, asked)
    outlook = outlook_of(shore, [item.station for item in spots], now)
    options = RenderOptions(WIDTH, shore.path.name, whole=asked.spot is None)
    if asked.room == PLAN:
        outing = outing_of(shore, asked.wishes)
        plans = make_plans(shore, spots, asked.first, asked.days, outlook, outing, False, count)
        if form is None:
            return plan_page(plans, shore.path.name, site).encode()
        return _bytes(write(ResultKind.PLAN, form, plans, options))
    kind, opening, default = _KINDS[asked.room]
    forecast = make_forecast(shore, spots, asked.first, asked.days, outlook, parse_hours(default), count)
    if form is None:
        return forecast_page(forecast, shore.path.name, opening, site).encode()
    return _bytes(write(kind, form, forecast, options))


def now_bytes(shore: Shore, now: float, site: Site, reading: Reading | None) -> bytes:
    """This minute at each spot, with a level read off if there is one; errors as for `forecast_bytes`."""
    outlook = outlook_of(shore, [item.station for item in shore.spots], now, reading)
    return now_page(make_now(shore, shore.spots, outlook), site).encode()


def file_name(shore: Shore, asked: Asked, form: str) -> str:
    """Of a file to keep, in letters that every system takes."""
    stem = "".join(
        letter for letter in shore.path.stem if letter.isascii() and (letter.isalnum() or letter in "-_")
    )
    spot = f"_{asked.spot}" if asked.spot else ""
    return f"{stem or 'shore'}{spot}_{asked.room}_{asked.first}.{suffix_of(form)}"


def _bytes(made: str | bytes) -> bytes:
    return made if isinstance(made, bytes) else made.encode("utf-8", errors="replace")
