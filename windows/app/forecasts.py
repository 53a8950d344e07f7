"""`week`, `best`, `compare`, `plan` and `now` as pages, and the same as files to keep."""

from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from harmonics.errors import EbblightError, printable
from windows.app.answers import KEPT, file_name, forecast_bytes, now_bytes
from windows.app.asking import ALL, ROOMS, Asked, choices_of, read_asked
from windows.app.folder import Opened
from windows.app.pages import Pages, file_sent, sent, told
from windows.app.refusals import Refusal, RefusedError
from windows.app.work import Underway
from windows.conditions.todays_water import Reading
from windows.log.read_off import read_off
from windows.render.page.around import Link, ReadingForm
from windows.render.page.site import address, screen
from windows.render.words import pages as words

FRESH = 300.0
"""Seconds for which a forecast's clock is near enough; the page's own runs on."""
FRESH_NOW = 20.0
LONGEST_READING = 40


async def forecast(request: Request) -> Response:
    """A forecast of a file, as its address asks."""
    pages: Pages = request.app.state.pages
    room: str = request.path_params["room"]
    if room not in ROOMS:
        raise RefusedError(Refusal.NOTHING)
    opened = await pages.opened(request)
    shore = opened.shore
    if shore is None or not shore.spots:
        return unusable(pages, opened, room)
    form = request.query_params.get("keep")
    if form is not None and form not in KEPT:
        raise RefusedError(Refusal.NOTHING)
    asked = read_asked(room, request.query_params, shore, pages.clock())
    choices = choices_of(opened.name, shore, asked, _keep(opened.name, asked))
    site = pages.site(opened.name, room, choices=choices)
    key = (opened.name, opened.state, asked, form)
    spots = len(shore.spots) if asked.spot is None else 1
    try:
        made = await pages.work.result(
            key, spots, FRESH, lambda count: forecast_bytes(shore, asked, pages.clock(), site, form, count)
        )
    except EbblightError as error:
        lines = tuple(map(printable, str(error).splitlines()))
        return sent(screen("told.html", site, words.NOTHING_MADE, sentences=lines, ways=()), 422)
    if isinstance(made, Underway):
        return _underway(pages, opened.name, room, made)
    if form is None:
        return sent(made)
    return file_sent(made, file_name(shore, asked, form), KEPT[form].media)


async def now(request: Request) -> Response:
    """This minute at each spot of a file."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    shore = opened.shore
    if shore is None or not shore.spots:
        return unusable(pages, opened, "now")
    text = request.query_params.get("reading", "").strip()[:LONGEST_READING]
    reading: Reading | None = None
    problems: tuple[str, ...] = ()
    try:
        reading = read_off(text, shore.head, pages.clock()) if text else None
    except ValueError as error:
        problems = (words.unreadable("level", text, str(error)),)
    asked = ReadingForm(address(opened.name, "now"), text, shore.head.units.value, problems)
    site = pages.site(opened.name, "now", reading=asked)
    key = (opened.name, opened.state, "now", text)
    try:
        made = await pages.work.result(
            key, 1, FRESH_NOW, lambda count: now_bytes(shore, pages.clock(), site, reading)
        )
    except EbblightError as error:
        return told(pages, opened.name, "now", tuple(str(error).splitlines()), 422)
    return _underway(pages, opened.name, "now", made) if isinstance(made, Underway) else sent(made)


def unusable(pages: Pages, opened: Opened, here: str) -> Response:
    """Why a file has no forecast: its problems, or no spot in it."""
    shore = Link(address(opened.name, "shore"), words.TO_SHORE)
    if opened.shore is None:
        lines = tuple(str(problem) for problem in opened.problems)
        return told(
            pages, opened.name, here, (words.problems_in(opened.name, len(lines)), *lines), 422, shore
        )
    add = Link(address(opened.name, "shore", "spots", "new"), words.ADD_SPOT)
    return told(pages, opened.name, here, (words.NO_SPOTS,), 422, add)


def _keep(name: str, asked: Asked) -> tuple[Link, ...]:
    """Ways to the same result as files."""
    query = {
        "spot": asked.spot or ALL,
        "fish": asked.fish or "",
        "start": asked.first.isoformat(),
        "days": str(asked.days),
        "hours": asked.hours or "",
        **asked.wishes.said,
    }
    given = {key: value for key, value in query.items() if value}
    base = address(name, asked.room)
    return tuple(Link(f"{base}?{urlencode({**given, 'keep': form})}", words.KEEP[form]) for form in KEPT)


def _underway(pages: Pages, name: str, room: str, made: Underway) -> Response:
    site = pages.site(name, room)
    text = screen("underway.html", site, words.UNDERWAY, done=made.done, total=made.total)
    return sent(text, 202, refresh="1")
