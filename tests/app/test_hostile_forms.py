"""Forms that no browser sends: each is refused in words, and nothing is written."""

import re
from collections.abc import Iterator
from random import Random

import pytest

from tests.app.asking import AT
from tests.app.test_tables import SAID, pasted
from tests.app.test_trips import LOG, TRIP
from tests.hostile.grounds import DEMO
from tests.hostile.pages import Site, served
from windows.render.words import pages as words
from windows.render.words.table_forms import NOT_OFFERED

SPOTS = f"{AT}/shore/spots"


@pytest.fixture
def asked(tmp_path) -> Iterator[Site]:
    """The demo coast asked without a server between, which would refuse some of it itself."""
    seed = next(seed for seed in range(99) if Random(seed).random() < 0.3)
    with served(Random(seed), tmp_path) as site:
        assert site.ground.name == DEMO.name
        yield site


def part(name: str, value: bytes) -> bytes:
    return b'--x\r\nContent-Disposition: form-data; name="%s"\r\n\r\n%s\r\n' % (name.encode(), value)


@pytest.mark.parametrize(
    ("charset", "name"),
    [("punycode", b"\xff-."), ("undefined", b"x"), ("utf-7", b"+2AA-"), ("unicode_escape", b"\\ud800")],
)
def test_letters_that_can_not_be_read_are_no_form(site, coast, charset, name):
    path = coast / "pellaway_sound.toml"
    before = path.read_bytes()
    page = f"{SPOTS}/0"
    fields = {"token": site.token(page), "revision": site.hidden(page, "revision"), "deed": "save"}
    body = (
        b"".join(part(key, value.encode()) for key, value in fields.items())
        + part("name", name)
        + b"--x--\r\n"
    )
    kind = f"multipart/form-data; boundary=x; charset={charset}"
    answer = site.ask("POST", page, body, content_type=kind)
    assert answer.status == 400
    assert words.REFUSED_FORM in answer.words
    assert path.read_bytes() == before


def test_whoever_goes_away_while_sending_leaves_no_traceback(asked, capsys):
    headers = [("content-type", "multipart/form-data; boundary=x")]
    answer = asked.ask("POST", f"{asked.at}/log/import", part("table", b"x"), headers, pieces=2, ends=False)
    assert answer.status == 400
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("length", ["9" * 5000, "-1", "\xb2", "1e3", "", str(5 * 2**20 + 1)])
def test_a_length_that_is_none_or_too_much(asked, length):
    answer = asked.ask("POST", "/new", b"", [("content-length", length)])
    assert answer.status == 413
    assert "too much" in answer.text


def test_what_a_trip_is_to_say_no_more_is_no_field(site):
    assert site.post(f"{LOG}/new", {**TRIP, "cleared": "words"}).status == 303


@pytest.mark.parametrize("key", ["units", "table_units", "phase"])
def test_a_choice_that_is_not_offered_is_told_beside_it(serving, tmp_path, key):
    folder = tmp_path / "empty"
    folder.mkdir()
    answer = serving(folder).post("/new", {**SAID, "table": pasted(), key: "fathoms"})
    assert answer.status == 422
    assert NOT_OFFERED in answer.text.partition(f'id="p-{key}"')[2].partition("</div>")[0]
    assert list(folder.iterdir()) == []


def test_a_file_with_problems_tells_why_a_table_stays(site, coast):
    path = coast / "pellaway_sound.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("slack_lag = 25", "slack_lag = 999"), encoding="utf-8"
    )
    before = path.read_bytes()
    page = f"{AT}/shore/stations/1"
    answer = site.post(page, {"revision": site.hidden(page, "revision"), "deed": "delete"})
    assert answer.status == 422
    assert "spots[1].station" in answer.words
    assert path.read_bytes() == before


@pytest.mark.parametrize("depth", [300, 5000])
def test_a_file_as_deep_as_toml_is_read_at_all(site, coast, depth):
    path = coast / "pellaway_sound.toml"
    path.write_text(f"{path.read_text(encoding='utf-8')}\n[x]\n{'a.' * depth}a = 1\n", encoding="utf-8")
    answer = site.get(f"{AT}/week")
    assert answer.status == 422
    assert "found" in answer.words


@pytest.mark.parametrize(
    ("page", "fields"),
    [
        (f"{SPOTS}/new", {"latitude": "\u202e1\x1b[31m"}),
        ("/new", {"latitude": "\u202e1\x1b[31m"}),
        (f"{LOG}/new", {**TRIP, "anglers": "\u202e1\x1b[31m"}),
        (f"{LOG}/new", {**TRIP, "spot": "\u202e1\x1b[31m"}),
    ],
)
def test_what_is_told_of_a_value_turns_and_hides_nothing(site, page, fields):
    revision = {"revision": site.hidden(page, "revision")} if "shore" in page else {}
    answer = site.post(page, {**fields, **revision})
    assert answer.status == 422
    told = " ".join(re.findall(r'class="hazard"[^>]*>(.*?)<', answer.text, re.DOTALL))
    assert r"\u202e1\x1b[31m" in told
    assert "\u202e" not in told and "\x1b" not in told
