"""What every page needs: the folder, the work that is going on, the clock, the token; and how one is sent."""

import asyncio
import secrets
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from harmonics.errors import printable
from windows.app.folder import Folder, Opened
from windows.app.refusals import Refusal, RefusedError
from windows.app.undoing import Undoings
from windows.app.work import Work
from windows.render.page.around import Link, Site, Undo
from windows.render.page.site import links_of, screen, site_policy
from windows.render.words import pages as words

FORM_PARTS = 400
"""Fields of a form: the longest here has sixty."""
LARGEST_FIELD = 4 * 2**20 + 1024
"""Bytes: the largest table that is read, pasted."""


@dataclass
class Pages:
    """The site.

    Attributes:
        folder: whose files are shown.
        clock: of people, POSIX seconds.
        work: what is being made.
        undoings: what can be taken back.
        token: of every form that writes.
        reading: held while a file of readings is read: the largest take hundreds of megabytes each.
        held: what such files hold, in sentences, by the state of the station file.
    """

    folder: Folder
    clock: Callable[[], float]
    work: Work
    undoings: Undoings = field(default_factory=Undoings)
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)
    reading: asyncio.Lock = field(default_factory=asyncio.Lock)
    held: dict[Hashable, tuple[str, ...]] = field(default_factory=dict)

    def site(self, name: str | None, here: str, **values: Any) -> Site:
        """What stands around a page."""
        links = links_of(name, here, len(self.folder.names()) != 1)
        return Site(links, token=self.token, **values)

    def noticed(self, request: Request, name: str | None, here: str) -> Site:
        """The same, with what was just done told, and the way to undo it."""
        done = self.undoings.done(request.query_params.get("done", ""))
        if done is None:
            return self.site(name, here)
        undo = Undo("/undo", done.ticket) if done.can_be_undone else None
        return self.site(name, here, notices=(done.sentence,), undo=undo)

    async def opened(self, request: Request) -> Opened:
        """The file that the address names.

        Raises:
            RefusedError: there is none of that name.
        """
        return await run_in_threadpool(self.folder.opened, request.path_params["name"])

    async def posted(self, request: Request) -> FormData:
        """The form that was sent, of these pages as they run now.

        Raises:
            RefusedError: it lacks their token, or its letters can't be read.
        """
        try:
            form = await request.form(max_files=2, max_fields=FORM_PARTS, max_part_size=LARGEST_FIELD)
        except UnicodeError:  # of the encoding that the request names for it
            raise RefusedError(Refusal.FORM) from None
        if not _is_text(form):
            await form.close()
            raise RefusedError(Refusal.FORM)
        token = form.get("token")
        if not isinstance(token, str) or not secrets.compare_digest(token.encode(), self.token.encode()):
            await form.close()
            raise RefusedError(Refusal.TOKEN)
        return form


def _is_text(form: FormData) -> bool:
    """Whether every name and value can be written: some encodings make halves of letters."""
    try:
        for key, value in form.multi_items():
            key.encode()
            (value if isinstance(value, str) else value.filename or "").encode()
    except UnicodeError:
        return False
    return True


def texts_of(form: FormData) -> dict[str, str]:
    """The fields of a form that are text; files that were sent with it are not."""
    return {key: value for key, value in form.items() if isinstance(value, str)}


def sent(text: str | bytes, status: int = 200, **headers: str) -> Response:
    """A page."""
    policy = {"content-security-policy": site_policy()}
    return HTMLResponse(
        text, status, {**policy, **{key.replace("_", "-"): item for key, item in headers.items()}}
    )


def file_sent(data: bytes, name: str, media: str) -> Response:
    """A file to keep."""
    return Response(data, 200, {"content-disposition": f'attachment; filename="{name}"'}, media)


def told(
    pages: Pages, name: str | None, here: str, sentences: tuple[str, ...], status: int, *ways: Link
) -> Response:
    """A page that says why there is nothing else to show, and where to go."""
    site, lines = pages.site(name, here), tuple(map(printable, sentences))
    return sent(screen("told.html", site, words.REFUSED_HEAD, sentences=lines, ways=ways), status)
