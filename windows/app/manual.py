"""The manual as pages."""

from functools import cache

from starlette.requests import Request
from starlette.responses import Response

from harmonics.errors import UnknownNameError
from windows.app.pages import Pages, sent
from windows.app.refusals import Refusal, RefusedError
from windows.guide import TOPICS, page, pages, picture
from windows.render.page.manual import html_of
from windows.render.page.site import screen
from windows.render.words import pages as words


async def contents(request: Request) -> Response:
    """The list of topics."""
    site = _pages(request).site(_pages(request).folder.first, "guide")
    return sent(screen("contents.html", site, words.MANUAL, topics=pages()))


async def topic(request: Request) -> Response:
    """A page of the manual."""
    try:
        found = page(request.path_params["topic"])
    except UnknownNameError:
        raise RefusedError(Refusal.NOTHING) from None
    site = _pages(request).site(_pages(request).folder.first, "guide")
    return sent(screen("topic.html", site, found.title, body=_body(found.topic)))


async def drawn(request: Request) -> Response:
    """A picture of the manual, which may style itself and load nothing."""
    try:
        found = picture(request.path_params["name"])
    except UnknownNameError:
        raise RefusedError(Refusal.NOTHING) from None
    policy = {"content-security-policy": "default-src 'none'; style-src 'unsafe-inline'"}
    return Response(found, media_type="image/svg+xml", headers=policy)


@cache
def _body(name: str) -> object:
    return html_of(page(name).text, TOPICS)


def _pages(request: Request) -> Pages:
    found = request.app.state.pages
    assert isinstance(found, Pages)
    return found
