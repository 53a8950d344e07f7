"""A form that is refused is the same page again, but for what was typed and what is wrong with it."""

import html
import re
from html.parser import HTMLParser

import pytest

from tests.app.asking import AT
from tests.app.sending import GAUGE, RECORD, taken

KEPT = {"a": ("href", "aria-current"), "form": ("action", "method", "enctype")}
NAMED = {"input": ("type", "name"), "select": ("name",), "textarea": ("name",), "button": ("name", "value")}
SAID = {"title", "h1", "a", "label", "button", "legend", "summary"}
"""A group whose fields are empty is folded: its legend is a summary then."""


class Bones(HTMLParser):
    """Links, forms, fields and their groups, in order, with their words."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, ...]] = []
        self._open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        kept = {**KEPT, **NAMED}.get(tag)
        if kept is not None:
            self.found.append((tag, *(given.get(key) or "" for key in kept)))
        if tag in SAID:
            self._open.append(tag)

    def handle_endtag(self, tag):
        if self._open and self._open[-1] == tag:
            self._open.pop()

    def handle_data(self, data):
        if self._open and data.strip():
            tag = self._open[-1].replace("summary", "legend")
            self.found.append((tag, " ".join(data.split())))


def forms(site) -> list[str]:
    """Pages with a form to fill in: of the shore, of the log and of a new file."""
    ways = re.findall(r'href="(/at/[^"#?]*)', site.get(f"{AT}/shore").text)
    pages = list(dict.fromkeys(html.unescape(way) for way in ways if "/shore/" in way or "/files/" in way))
    return [*pages, f"{AT}/log/new", "/new"]


def refused(site, path: str):
    """What comes of a form with an outdated state of the file, and without a file or a word."""
    text = site.get(path).text
    if 'enctype="multipart/form-data"' in text:
        return site.send(path, {"token": site.token(path), "revision": "old"}, "x.csv", b"")
    return site.post(path, {"revision": "old"}, token=site.token(path))


def test_every_form_of_a_file_with_all_kinds_of_tables(standing):
    pages = forms(standing)
    assert len(pages) > 25
    for path in pages:
        answer = refused(standing, path)
        assert answer.status in {409, 422}, (path, answer.status)
        assert 'role="alert"' in answer.text, path
        assert Bones(answer.text).found == Bones(standing.get(path).text).found, path


@pytest.mark.parametrize("what", ["record", "readings", "weather"])
def test_every_form_of_a_file_that_is_read(serving, folder, sources, what):
    site = serving(folder)
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    pages = [path for path in made_pages(site) if f"/files/{what}" in path]
    assert pages
    for path in pages:
        answer = refused(site, path)
        assert answer.status in {409, 422}
        assert Bones(answer.text).found == Bones(site.get(path).text).found


def made_pages(site) -> list[str]:
    """Pages of files that the made shore's tables lead to."""
    found = [RECORD]
    for path in re.findall(r'href="(/at/made[^"#?]*)', site.get("/at/made.toml/shore").text):
        found += re.findall(r'href="(/at/made[^"#?]*/files/[^"#?]*)', site.get(path).text)
    return sorted(set(found))
