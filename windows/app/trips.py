"""The log as pages: trips listed, kept, changed, taken out and brought back; counted, learned from, moved."""

from collections.abc import Callable, Mapping
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, Problem
from windows.app.forecasts import unusable
from windows.app.pages import Pages, sent, texts_of, told
from windows.app.trip_reading import differing, fingerprint, told_in
from windows.app.trip_views import trip_form, trip_rows
from windows.log.entry import EntryError, entered
from windows.log.keeping import brought_back, changed, judged, kept_trips, log_place, taken_out, with_forecast
from windows.log.retold import retold
from windows.log.storage import SqliteStore
from windows.log.told import Told
from windows.log.trips import Made, Trip
from windows.render.page.site import address, screen
from windows.render.words import pages as words
from windows.shoreline.shore import Shore

LISTED = 200
"""Trips on a page, the latest; the file to keep holds all."""


async def trips(request: Request) -> Response:
    """The trips of the log."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    if opened.shore is None:
        return unusable(pages, opened, "log")
    shore, place = opened.shore, log_place(opened.shore)
    try:
        kept = await run_in_threadpool(kept_trips, place)
    except EbblightError as error:
        return told(pages, opened.name, "log", tuple(str(error).splitlines()), 422)
    shown = kept[-LISTED:][::-1]
    text = screen(
        "trips.html",
        pages.noticed(request, opened.name, "log"),
        words.LOG,
        rows=trip_rows(shown, shore, opened.name),
        more=len(kept) - len(shown),
        place=str(place),
        base=address(opened.name, "log"),
    )
    return sent(text)


async def trip(request: Request) -> Response:
    """The form of a new trip, or of one that is kept; and what it says when it is sent."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    if opened.shore is None or not opened.shore.spots:
        return unusable(pages, opened, "log")
    number = request.path_params.get("number")
    if request.method == "POST":
        form = await pages.posted(request)
        return await run_in_threadpool(_take, pages, request, opened.shore, opened.name, number, form)
    return await run_in_threadpool(_show, pages, request, opened.shore, opened.name, number)


def _show(pages: Pages, request: Request, shore: Shore, name: str, number: int | None) -> Response:
    """The form, with what is known in it."""
    site = pages.noticed(request, name, "log")
    if number is None:
        known = {
            key: value for key, value in request.query_params.items() if key in Told.__dataclass_fields__
        }
        planned = request.query_params.get("planned") == "yes"
        return sent(
            screen("trip.html", site, words.NEW_TRIP, form=trip_form(shore, name, known, planned=planned))
        )
    try:
        with SqliteStore(log_place(shore)) as store:
            kept = store.trip(number)
            rulings = judged(kept, shore, store, pages.clock())
    except EbblightError as error:
        return told(pages, name, "log", tuple(str(error).splitlines()), 404)
    form = trip_form(shore, name, retold(kept, shore.head.units), kept=kept, rulings=rulings)
    return sent(screen("trip.html", site, words.trip_head(number), form=form))


def _take(
    pages: Pages, request: Request, shore: Shore, name: str, number: int | None, form: FormData
) -> Response:
    """Do what a form asks for, and show what came of it; what is wrong stands beside its field."""
    given = texts_of(form)
    deed = given.get("deed", "keep")
    try:
        if number is None:
            kept, sentence = _kept(pages, shore, given, planned=deed == "plan")
            back = _undo(shore, kept, pages.clock, remove=True)
        elif deed in {"remove", "restore"}:
            kept, sentence = _moved(pages, shore, number, remove=deed == "remove")
            back = _undo(shore, kept, pages.clock, remove=deed == "restore")
        else:
            kept, sentence, back = _edited(pages, shore, number, given, compute=deed == "compute")
    except EntryError as error:
        return _again(pages, shore, name, number, given, error.problems)
    except EbblightError as error:
        return _again(pages, shore, name, number, given, (Problem("", "", str(error)),))
    here = address(name, "log", str(kept.number))
    ticket = pages.undoings.tell(sentence, here, back)
    where = address(name, "log") if deed == "remove" else here
    return RedirectResponse(f"{where}?{urlencode({'done': ticket})}", 303)


def _again(
    pages: Pages,
    shore: Shore,
    name: str,
    number: int | None,
    given: Mapping[str, str],
    problems: tuple[Problem, ...],
) -> Response:
    """The form as it was filled in, with what is wrong."""
    kept: Trip | None = None
    if number is not None:
        try:
            with SqliteStore(log_place(shore)) as store:
                kept = store.trip(number)
        except EbblightError as error:
            return told(pages, name, "log", tuple(str(error).splitlines()), 404)
    planned = given.get("deed") == "plan"
    form = trip_form(shore, name, given, kept=kept, problems=problems, planned=planned)
    head = words.NEW_TRIP if number is None else words.trip_head(number)
    return sent(screen("trip.html", pages.site(name, "log"), head, form=form), 422)


def _kept(pages: Pages, shore: Shore, given: Mapping[str, str], planned: bool) -> tuple[Trip, str]:
    now, said = pages.clock(), told_in(given)
    missing = [Problem(f"--{key}", "nothing", words.NEEDED[key]) for key in said.missing(shore, planned)]
    if missing:
        raise EntryError(missing)
    trip = entered(said, shore, now, planned)
    trip = with_forecast(trip, shore, now, Made.PLANNED if planned else Made.LOGGED)
    with SqliteStore(log_place(shore), create=True) as store:
        kept = store.add(trip)
    return kept, words.trip_done(kept.number, planned)


def _moved(pages: Pages, shore: Shore, number: int, remove: bool) -> tuple[Trip, str]:
    now = pages.clock()
    with SqliteStore(log_place(shore)) as store:
        kept = store.change(number, lambda trip: taken_out(trip, now) if remove else brought_back(trip))
    return kept, words.trip_removed(number) if remove else words.trip_restored(number)


def _edited(
    pages: Pages, shore: Shore, number: int, given: Mapping[str, str], compute: bool
) -> tuple[Trip, str, Callable[[], str]]:
    """The trip changed; the way back puts the former one in its place, unless it changed again meanwhile."""
    now = pages.clock()
    former: list[Trip] = []

    def edit(trip: Trip) -> Trip:
        former.append(trip)
        if given.get("seen") != fingerprint(trip):
            raise EbblightError(words.CHANGED_TRIP)
        return changed(trip, differing(trip, shore, given), shore, now, compute)

    with SqliteStore(log_place(shore)) as store:
        kept = store.change(number, edit)

    def back() -> str:
        def restore(trip: Trip) -> Trip:
            if fingerprint(trip) != fingerprint(kept):
                raise EbblightError(words.CHANGED_TRIP)
            return former[0]

        with SqliteStore(log_place(shore)) as store:
            store.change(number, restore)
        return words.UNDONE

    return kept, words.trip_changed(number), back


def _undo(shore: Shore, trip: Trip, clock: Callable[[], float], remove: bool) -> Callable[[], str]:
    """A way back that takes the trip out, or brings it back."""
    number = trip.number
    assert number is not None

    def back() -> str:
        with SqliteStore(log_place(shore)) as store:
            store.change(number, lambda item: taken_out(item, clock()) if remove else brought_back(item))
        return words.UNDONE

    return back
