"""The site: which address is answered by what."""

import sys
import traceback
from collections.abc import Callable
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from windows.app import beginning, files, forecasts, manual, named_files, shoreline, trip_reports, trips
from windows.app.folder import Folder
from windows.app.guard import Guard
from windows.app.pages import Pages, sent
from windows.app.refusals import Refusal, RefusedError
from windows.app.work import Work
from windows.render.page.site import screen
from windows.render.words import pages as words

BOTH = ["GET", "POST"]


def site_of(folder: Folder, clock: Callable[[], float], port: int) -> Starlette:
    """The site of a folder.

    Args:
        folder: whose station files it shows.
        clock: of people, POSIX seconds.
        port: that it answers on; requests for another are refused.
    """
    app = Starlette(
        routes=_routes(),
        middleware=[Middleware(Guard, port=port)],
        exception_handlers={
            RefusedError: _refused,
            HTTPException: _refused_by_route,
            ClientDisconnect: _gone,
            Exception: _failed,
        },
    )
    app.state.pages = Pages(folder, clock, Work(clock))
    return app


def _routes() -> list[Route]:
    at = "/at/{name}"
    return [
        Route("/", files.home),
        Route("/favicon.ico", _no_icon),
        Route("/files", files.listed),
        Route("/new", beginning.new, methods=BOTH),
        Route("/undo", files.undo, methods=["POST"]),
        Route("/guide", manual.contents),
        Route("/guide/pictures/{name}", manual.drawn),
        Route("/guide/{topic}", manual.topic),
        Route(f"{at}/now", forecasts.now),
        Route(f"{at}/shore", shoreline.shore),
        Route(f"{at}/shore/{{kind}}", shoreline.single, methods=BOTH),
        Route(f"{at}/shore/{{kind}}/{{place}}", shoreline.place, methods=BOTH),
        Route(f"{at}/files/{{what}}", named_files.named_file, methods=BOTH),
        Route(f"{at}/files/{{what}}/{{place:int}}", named_files.named_file, methods=BOTH),
        Route(f"{at}/log", trips.trips),
        Route(f"{at}/log.csv", trip_reports.export),
        Route(f"{at}/log/new", trips.trip, methods=BOTH),
        Route(f"{at}/log/report", trip_reports.report),
        Route(f"{at}/log/learn", trip_reports.lessons, methods=BOTH),
        Route(f"{at}/log/import", trip_reports.take_in, methods=["POST"]),
        Route(f"{at}/log/{{number:int}}", trips.trip, methods=BOTH),
        Route(f"{at}/{{room}}", forecasts.forecast),
    ]


async def _no_icon(request: Request) -> Response:
    """Browsers ask for an icon by themselves; the tab has none."""
    return Response(status_code=204)


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, RefusedError)
    return _told(request, error.refusal)


async def _refused_by_route(request: Request, error: Exception) -> Response:
    """What Starlette itself refuses: no such address, no such method, a form that is none."""
    assert isinstance(error, HTTPException)
    refusal = next((item for item in Refusal if item.status == error.status_code), Refusal.FORM)
    return _told(request, refusal)


async def _gone(request: Request, error: Exception) -> Response:
    """Whoever asked went away before the form was here whole: no fault of the program."""
    return _told(request, Refusal.FORM)


async def _failed(request: Request, error: Exception) -> Response:
    """A fault of the program: told to whoever keeps it, in the terminal."""
    traceback.print_exception(error, file=sys.stderr)
    pages: Pages = request.app.state.pages
    text = screen("told.html", pages.site(None, ""), words.FAILED_HEAD, sentences=(words.FAILED,), ways=())
    return sent(text, 500)


def _told(request: Request, refusal: Refusal) -> Response:
    pages: Pages = request.app.state.pages
    site = pages.site(None, "")
    text = screen("told.html", site, words.REFUSED_HEAD, sentences=(refusal.sentence,), ways=())
    return sent(text, int(refusal.status))


def folder_of(path: Path) -> Folder:
    """The folder to serve: of a station file, or the path itself."""
    if path.is_dir():
        return Folder(path)
    return Folder(path.parent, path.name)
