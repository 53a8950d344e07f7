"""Every answer: what stands around it, its status, how much a form may hold, and what a fault looks like."""

import html
import re
import shutil
from datetime import UTC, datetime
from types import SimpleNamespace

import pytest
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException

from tests.app.asking import AT, awaited
from tests.cli.test_one_mistake import MISTAKES, laid_out
from windows.app import pages, shore_views, shoreline
from windows.app.refusals import Refusal, RefusedError
from windows.app.site import folder_of
from windows.render.page.around import Link
from windows.shoreline.plausible import Finding, Oddity, look

READ_ONLY = [
    *("/", "/files", "/guide", "/guide/start", "/favicon.ico"),
    *(f"{AT}/{page}" for page in ("now", "shore", "log", "log.csv", "log/report", "week")),
]
TOLD = {400: Refusal.FORM, 404: Refusal.NOTHING, 405: Refusal.METHOD, 409: Refusal.GONE}


@pytest.fixture
def around(coast):
    """What every page needs, of a folder that nobody asks."""
    return pages.Pages(folder_of(coast), lambda: 0.0, None)


def bar(text: str) -> list[tuple[str, bool]]:
    """The ways of the bar, each with whether it is marked."""
    shown = re.search(r'<nav class="rooms".*?</nav>', text, re.DOTALL)[0]
    return [(way, bool(here)) for way, here in re.findall(r'href="([^"]*)"( aria-current="page")?', shown)]


def heading(text: str) -> str:
    return re.search("<h1>([^<]*)</h1>", text)[1]


def test_other_files_are_led_to_where_there_are_any(serving, folder):
    """Or none: then to the list as well, and from pages of no file always."""
    site = serving(folder)
    rooms = [f"/at/made.toml/{room}" for room in ("week", "now", "best", "compare", "plan", "shore", "log")]
    page = f"{rooms[-2]}/spots/0"
    assert bar(site.get(page).text) == [*((room, room == rooms[-2]) for room in rooms), ("/guide", False)]
    assert bar(site.get("/files").text) == [("/guide", False), ("/files", True)]
    assert bar(site.get("/nothing").text) == [("/guide", False), ("/files", False)]
    shutil.copyfile(folder / "made.toml", folder / "other.toml")
    assert bar(site.get(page).text)[-1] == ("/files", False)


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        *(("POST", path, 405) for path in READ_ONLY),
        ("GET", f"{AT}/log/import", 405),
        ("GET", "/nothing", 404),
        ("GET", f"{AT}/log/x", 404),
        ("GET", "/at/none.toml/shore", 404),
    ],
)
def test_what_is_refused_is_told_on_a_page(standing, method, path, status):
    answer = standing.ask(method, path, b"" if method == "POST" else None)
    assert (answer.status, heading(answer.text)) == (status, "Not so")
    (told,) = re.findall(r'<p class="lead">([^<]*)</p>', answer.text)
    assert html.unescape(told) == TOLD[status].sentence
    assert [marked for _, marked in bar(answer.text)] == [False, False]


@pytest.mark.parametrize(
    ("path", "head"),
    [
        (f"{AT}/log", "Log"),
        (f"{AT}/log/report", "Does the score tell?"),
        (f"{AT}/log/learn", "What the trips teach"),
        ("/files", "Station files"),
    ],
)
def test_each_page_is_headed(standing, path, head):
    answer = standing.get(path)
    assert (answer.status, heading(answer.text)) == (200, head)
    assert f"<title>{head}</title>" in answer.text


def test_of_many_files_the_list_is_led_to(standing):
    assert bar(standing.get(f"{AT}/log").text)[-1] == ("/files", False)


def test_browsers_get_no_icon(standing):
    answer = standing.get("/favicon.ico")
    assert (answer.status, answer.body) == (204, b"")


@pytest.mark.parametrize("ticket", ["", "other"])
def test_what_nobody_did_is_not_undone(standing, ticket):
    answer = standing.post("/undo", {"ticket": ticket} if ticket else {})
    assert answer.status == 409 and Refusal.GONE.sentence in answer.words


@pytest.mark.parametrize("count", [400, 401])
def test_a_form_has_so_many_fields_at_most(standing, count):
    fields = {f"x{number}": "1" for number in range(count - 1)}
    answer = standing.post(f"{AT}/log/new", fields)
    assert answer.status == (422 if count == 400 else 400)
    assert (Refusal.FORM.sentence in answer.words) is (count > 400)


def form_of(**fields: object):
    """A request that brings these fields, and what it was asked to take."""
    asked = []

    async def form(**bounds):
        asked.append(bounds)
        return FormData(list(fields.items()))

    return SimpleNamespace(form=form), asked


def test_so_much_is_taken_of_a_form(around):
    request, asked = form_of(token=around.token, name="x")
    assert awaited(around.posted(request))["name"] == "x"
    assert asked == [{"max_files": 2, "max_fields": 400, "max_part_size": 4_195_328}]


@pytest.mark.parametrize(
    "fields", [{}, {"token": ""}, {"token": SimpleNamespace(filename=None)}, {"token": "\u00e9"}]
)
def test_a_form_needs_the_token_of_these_pages(around, fields):
    """As text: a file of that name is none."""
    request, _ = form_of(**fields)
    with pytest.raises(RefusedError) as raised:
        awaited(around.posted(request))
    assert raised.value.refusal is Refusal.TOKEN


@pytest.mark.parametrize(
    "fields", [{"a\ud800": "x"}, {"a": "\ud800"}, {"a": SimpleNamespace(filename="\ud800")}]
)
def test_halves_of_letters_are_no_form_wherever_they_stand(around, fields):
    request, _ = form_of(token=around.token, **fields)
    with pytest.raises(RefusedError) as raised:
        awaited(around.posted(request))
    assert raised.value.refusal is Refusal.FORM


def test_files_of_a_form_are_no_texts_of_it():
    assert pages.texts_of(FormData([("a", "x"), ("file", SimpleNamespace(filename="y"))])) == {"a": "x"}


def test_what_is_told_is_a_page_in_its_room_with_ways_on(around):
    first = f"{'long ' * 30}\u202e"
    ways = (Link("/one", "One"), Link("/two", "Two"))
    answer = pages.told(around, "pellaway_sound.toml", "log", (first, "<b>\x1b"), 418, *ways)
    text = answer.body.decode()
    assert (answer.status_code, answer.headers["content-type"]) == (418, "text/html; charset=utf-8")
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert heading(text) == "Not so"
    assert (f"{AT}/log", True) in bar(text)
    assert re.findall(r"<p( class=\"lead\")?>([^<]*)</p>", text)[:2] == [
        (' class="lead"', f"{'long ' * 30}\\u202e"),
        ("", r"&lt;b&gt;\x1b"),
    ]
    assert re.findall(r'<a class="way" href="([^"]*)">(\w*)<', text) == [("/one", "One"), ("/two", "Two")]


def test_headers_and_names_of_what_is_sent():
    page = pages.sent("x", retry_after="5")
    assert (page.status_code, page.body, page.headers["retry-after"]) == (200, b"x", "5")
    file = pages.file_sent(b"y", "a b.csv", "text/plain")
    assert (file.status_code, file.body) == (200, b"y")
    assert file.headers["content-disposition"] == 'attachment; filename="a b.csv"'
    assert file.headers["content-type"] == "text/plain; charset=utf-8"


@pytest.mark.parametrize("status", [418, 400, 413])
def test_what_is_refused_before_a_page_is_told_by_its_status_or_as_no_form(site, monkeypatch, status):
    def refuses(*_):
        raise HTTPException(status)

    monkeypatch.setattr(shoreline, "shore_view", refuses)
    answer = site.get(f"{AT}/shore")
    assert answer.status == (400 if status == 418 else status)
    assert {400: Refusal.FORM, 418: Refusal.FORM, 413: Refusal.TOO_LARGE}[status].sentence in answer.words


def test_a_fault_is_told_on_the_terminal_and_not_on_the_page(site, monkeypatch, capsys):
    def fails(*_):
        raise KeyError("the sea chest")

    monkeypatch.setattr(shoreline, "shore_view", fails)
    answer = site.get(f"{AT}/shore")
    assert (answer.status, heading(answer.text)) == (500, "A fault")
    told = "Something went wrong in the program itself, and nothing was written. The terminal says more."
    assert told in answer.words and "sea chest" not in answer.text
    assert [marked for _, marked in bar(answer.text)] == [False, False]
    shown = capsys.readouterr()
    assert "KeyError: 'the sea chest'" in shown.err and shown.out == ""
    assert site.get("/guide").status == 200


@pytest.mark.parametrize(
    ("mistake", "head", "told"),
    [
        ("west without its sign at the spot", "To be put right", "write: longitude = -70.71"),
        ("the spot's whole degrees", "Worth a look", "whole degrees"),
    ],
)
def test_what_can_not_be_or_is_odd_is_told_and_so_is_the_rest(serving, tmp_path, mistake, head, told):
    path = laid_out(tmp_path, MISTAKES[mistake])
    text = serving(path).get(f"/at/{path.name}/shore").text
    heads = re.findall("<h2>([^<]*)</h2>", text)
    assert {"To be put right", "Worth a look"} & set(heads) == {head}
    assert {"Spots", "For the whole file", "Today's water"} <= set(heads)
    assert told in text.partition(f"<h2>{head}</h2>")[2].partition("</ul>")[0]


def test_what_is_a_problem_already_is_no_more_worth_a_look(tmp_path, monkeypatch):
    """But the same is, elsewhere, and what is odd is at that very place; by the year that it is."""
    opened = folder_of(laid_out(tmp_path, MISTAKES["west without its sign at the spot"])).opened("shore.toml")
    (found,) = look(opened.shore, opened.document, 2026)
    odd = Finding(Oddity.NO_SPOTS, found.where, (), ("nothing",))
    others, years = (found._replace(where="spots[9].longitude"), odd), []

    def seen(_shore, _document, year):
        years.append(year)
        return (found, *others)

    monkeypatch.setattr(shore_views, "look", seen)
    view = shore_views.shore_view(opened, datetime(2027, 12, 31, 23, 59, tzinfo=UTC).timestamp())
    assert years == [2027] and len(view.problems) == 1
    assert [line.partition(":")[0] for line in view.odd] == ["spots[9].longitude", "spots[0].longitude"]
    assert any("31 Dec 2027" in line for line in view.waters)
