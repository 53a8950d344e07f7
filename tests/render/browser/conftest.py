"""Pages of files in the browser."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest


class Opened:
    """A page opened from disk, with everything it asked for and everything it complained about."""

    def __init__(self, page, path: Path) -> None:
        self.context, self.page = page.context, page
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self._heard = {
            "request": lambda request: self.requests.append(request.url),
            "console": lambda message: self.complaints.append(message.text),
            "pageerror": lambda error: self.complaints.append(str(error)),
        }
        for event, listener in self._heard.items():
            page.on(event, listener)
        page.goto(path.as_uri())

    def left(self) -> object:
        """The page without ears, for another."""
        for event, listener in self._heard.items():
            self.page.remove_listener(event, listener)
        return self.page


@pytest.fixture(scope="session")
def free_pages(chromium) -> Callable[[dict[str, object]], list[object]]:
    """Pages that tests have left, by their settings: to start one takes longer than to load it."""
    left: dict[str, list[object]] = {}
    return lambda settings: left.setdefault(repr(sorted(settings.items())), [])


@pytest.fixture
def opened(chromium, free_pages, tmp_path) -> Iterator[object]:
    """Opens text from disk: viewport, touch, colour scheme by keyword; `alone` where more is changed."""
    made: list[tuple[Opened, bool]] = []
    ways: list[list[object]] = []

    def open_page(text: str, width: int = 390, height: int = 844, alone=False, **settings: object) -> Opened:
        path = tmp_path / f"week{len(made)}.html"
        path.write_text(text, encoding="utf-8")
        free = [] if alone else free_pages(settings)
        page = free.pop() if free else chromium.new_context(**settings).new_page()
        page.set_viewport_size({"width": width, "height": height})
        made.append((Opened(page, path), alone))
        ways.append(free)
        return made[-1][0]

    yield open_page
    for (item, alone), free in zip(made, ways, strict=True):
        if alone:
            item.context.close()
        else:
            free.append(item.left())
