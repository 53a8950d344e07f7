"""The first page, the list of files, and the way back from what was just done."""

from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, printable
from windows.app.pages import Pages, sent, told
from windows.app.refusals import Refusal, RefusedError
from windows.render.page.around import Link
from windows.render.page.site import address, screen
from windows.render.words import pages as words
from windows.render.words.safe_text import plain


async def home(request: Request) -> Response:
    """To the file that the pages were opened with, the only one, the list, or the form of a first one."""
    pages: Pages = request.app.state.pages
    names = await run_in_threadpool(pages.folder.names)
    first = pages.folder.first if pages.folder.first in names else names[0] if len(names) == 1 else None
    return RedirectResponse(address(first, "week") if first else "/files" if names else "/new", 303)


async def listed(request: Request) -> Response:
    """The station files of the folder."""
    pages: Pages = request.app.state.pages
    names, nameless = await run_in_threadpool(pages.folder.listed)
    links = tuple(Link(address(name, "week"), plain(name)) for name in names)
    site = pages.noticed(request, None, "files")
    folder, unopened = printable(str(pages.folder.root)), words.nameless(nameless)
    return sent(screen("files.html", site, words.FILES_HEAD, links=links, folder=folder, unopened=unopened))


async def undo(request: Request) -> Response:
    """Take back what was just done, unless something was written since."""
    pages: Pages = request.app.state.pages
    form = await pages.posted(request)
    done = pages.undoings.take(str(form.get("ticket", "")))
    if done is None or done.back is None:
        raise RefusedError(Refusal.GONE)
    try:
        sentence = await run_in_threadpool(done.back)
    except EbblightError as error:
        return told(pages, None, "", tuple(str(error).splitlines()), 409, Link(done.address, words.BACK))
    ticket = pages.undoings.tell(sentence, done.address)
    return RedirectResponse(f"{done.address}?{urlencode({'done': ticket})}", 303)
