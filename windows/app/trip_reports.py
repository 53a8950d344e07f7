"""What the log tells: the report, what it teaches, and the log as a file, out and in."""

import tempfile
from pathlib import Path
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError
from windows.app.folder import Opened
from windows.app.forecasts import unusable
from windows.app.pages import Pages, file_sent, sent, told
from windows.app.saving import save_text
from windows.app.work import Underway
from windows.log.exchange import written
from windows.log.keeping import kept_trips, log_place
from windows.log.learning import learn
from windows.log.report import make_report
from windows.log.taking_in import import_into
from windows.render.page.around import Site
from windows.render.page.log import lessons_view, report_view
from windows.render.page.site import address, screen
from windows.render.words import log as log_words
from windows.render.words import pages as words
from windows.shoreline.shore import Shore

FRESH = 3600.0


async def report(request: Request) -> Response:
    """Whether hours with more points caught more."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    if opened.shore is None:
        return unusable(pages, opened, "log")
    shore, site = opened.shore, pages.site(opened.name, "log")
    with_later = request.query_params.get("later") == "yes"
    try:
        made = await pages.work.result(
            (opened.name, opened.state, "report", with_later, _state(log_place(shore))),
            1,
            FRESH,
            lambda count: _report(shore, opened.name, site, with_later),
        )
    except EbblightError as error:
        return told(pages, opened.name, "log", tuple(str(error).splitlines()), 422)
    if isinstance(made, Underway):
        text = screen("underway.html", site, words.UNDERWAY, done=made.done, total=made.total)
        return sent(text, 202, refresh="1")
    return sent(made)


def _report(shore: Shore, name: str, site: Site, with_later: bool) -> bytes:
    found = make_report(kept_trips(log_place(shore)), with_later=with_later)
    view = report_view(found)
    text = screen("report.html", site, words.REPORT, view=view, base=address(name, "log"), later=with_later)
    return text.encode()


def _state(path: Path) -> tuple[object, ...]:
    """Of the log's files: it changes with every trip."""
    states: list[object] = []
    for item in (path, Path(f"{path}-wal")):
        try:
            found = item.stat()
            states.append((found.st_mtime_ns, found.st_size))
        except OSError:
            states.append(None)
    return tuple(states)


async def lessons(request: Request) -> Response:
    """What the trips teach about the file's spots; sent, the file is changed by it."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    if opened.shore is None:
        return unusable(pages, opened, "log")
    if request.method == "POST":
        form = await pages.posted(request)
        return await run_in_threadpool(_write, pages, opened, opened.shore, str(form.get("revision", "")))
    site = pages.noticed(request, opened.name, "log")
    return await run_in_threadpool(_lessons, pages, opened, opened.shore, site)


def _lessons(pages: Pages, opened: Opened, shore: Shore, site: Site) -> Response:
    try:
        found = learn(shore, kept_trips(log_place(shore)))
    except EbblightError as error:
        return told(pages, opened.name, "log", tuple(str(error).splitlines()), 422)
    view = lessons_view(found)
    base, revision = address(opened.name, "log"), opened.revision
    return sent(screen("lessons.html", site, words.LESSONS, view=view, base=base, revision=revision))


def _write(pages: Pages, opened: Opened, shore: Shore, revision: str) -> Response:
    from windows.log.file_edits import with_lessons

    here = address(opened.name, "log", "learn")
    try:
        changes = [item for item in learn(shore, kept_trips(log_place(shore))) if item.value is not None]
        text = with_lessons(opened.text or "", opened.name, changes)
        back = save_text(pages.folder, opened, revision, text)
    except EbblightError as error:
        return told(pages, opened.name, "log", tuple(str(error).splitlines()), 422)
    ticket = pages.undoings.tell(words.lessons_written(len(changes)), here, back)
    return RedirectResponse(f"{here}?{urlencode({'done': ticket})}", 303)


async def export(request: Request) -> Response:
    """The whole log as CSV."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    place = log_place(opened.shore)
    try:
        data = await run_in_threadpool(lambda: written(kept_trips(place)))
    except EbblightError as error:
        return told(pages, opened.name, "log", tuple(str(error).splitlines()), 422)
    return file_sent(data.encode(), "trips.csv", "text/csv")


async def take_in(request: Request) -> Response:
    """Trips from a CSV that is sent."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    form = await pages.posted(request)
    table = form.get("table")
    if opened.shore is None:
        return unusable(pages, opened, "log")
    data = await table.read() if isinstance(table, UploadFile) and table.filename else b""
    await form.close()
    if not data:
        return told(pages, opened.name, "log", (words.NO_TABLE,), 422)
    return await run_in_threadpool(_take_in, pages, opened, opened.shore, data)


def _take_in(pages: Pages, opened: Opened, shore: Shore, data: bytes) -> Response:
    place = log_place(shore)
    try:
        with tempfile.TemporaryDirectory() as passing:
            table = Path(passing) / "trips.csv"
            table.write_bytes(data)
            came = import_into(place, table, shore, pages.clock())
    except EbblightError as error:
        return told(
            pages, opened.name, "log", tuple(str(error).replace(str(table), table.name).splitlines()), 422
        )
    except OSError as error:
        return told(pages, opened.name, "log", (f"trips.csv: {error.strerror or error}",), 422)
    sentence = log_words.import_words(came.kept, came.there, came.differ, str(place))
    ticket = pages.undoings.tell(sentence, address(opened.name, "log"))
    return RedirectResponse(f"{address(opened.name, 'log')}?{urlencode({'done': ticket})}", 303)
