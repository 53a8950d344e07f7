"""A first file from a table, the list of files, the way back from a deed, and the manual as pages."""

import html
import re
import tomllib

import pytest

from harmonics.errors import EbblightError, OutputError
from tests.app.asking import AT, Site
from tests.app.conftest import Running
from tests.app.test_tables import SAID, pasted
from windows.app.undoing import Done, Undoings
from windows.guide import PICTURES, TOPICS, page

CURRENT = "name,amplitude,phase\nK1,0.8,40\nO1,0.7,30\n"
MORE = {
    "title": "Made bay",
    "units": "feet",
    "time_zone": "America/Halifax",
    "spot_latitude": "42.4",
    "spot_longitude": "-71.1",
}


def marked(answer) -> list[str]:
    """The links that are marked as the page shown."""
    return re.findall(r'<a href="([^"]*)" aria-current="page">', answer.text)


def beside(answer, key: str) -> str:
    """What stands as wrong beside a field."""
    found = answer.text.partition(f'id="p-{key}"')[2].partition("</div>")[0]
    return " ".join(html.unescape(re.sub("<[^>]*>", "", found.partition(">")[2])).split())


@pytest.fixture
def empty(tmp_path):
    folder = tmp_path / "empty"
    folder.mkdir()
    return folder


@pytest.fixture
def site(serving, empty):
    return serving(empty)


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    """Pages of an empty folder, for tests that write nothing."""
    running = Running(tmp_path_factory.mktemp("bare"))
    yield Site(running.port)
    running.end()


def test_the_form_of_a_first_file(bare):
    answer = bare.get("/new")
    assert (answer.status, marked(answer)) == (200, ["/files"])
    assert "<h1>A new shore</h1>" in answer.text
    assert '<form class="filled" method="post" action="/new" enctype="multipart/form-data">' in answer.text
    assert "<button>Make the file</button>" in answer.text
    assert 'role="alert"' not in answer.text


def test_what_a_first_file_lacks_is_told_in_these_words(bare):
    answer = bare.post("/new", {"table": pasted(), "table_units": "metres", "phase": "greenwich"})
    assert (answer.status, marked(answer)) == (422, ["/files"])
    none = "Found nothing, and the table does not say; expected "
    for key, expected in (
        ("station_name", "a name."),
        ("latitude", "Degrees, north positive: 29.31, or 29 18.6 N."),
        ("mean_level", "Mean sea level above the datum, in the table's unit."),
        ("spot", "a name."),
    ):
        assert beside(answer, key) == none + expected, key
    assert beside(answer, "time_zone") == beside(answer, "title") == ""


def test_a_clock_that_follows_from_no_position_is_asked_for(bare, monkeypatch):
    monkeypatch.setattr("windows.shoreline.zones.zone_at", lambda _latitude, _longitude: None)
    answer = bare.post("/new", {**SAID, "table": pasted()})
    assert answer.status == 422
    assert beside(answer, "time_zone") == (
        "Found nothing, and the table does not say; expected the clock that people there read, such as "
        "America/Chicago."
    )


def test_a_current_s_table_makes_no_first_file(bare):
    fields = {**SAID, "table_units": "knots", "flood_direction": "10", "ebb_direction": "190"}
    answer = bare.post("/new", {**fields, "table": CURRENT})
    assert answer.status == 422
    assert beside(answer, "table") == (
        "Found a current's table; expected a tide's: add a current instead; expected a table of "
        "constituents: names, amplitudes and phase lags."
    )


def test_all_answers_stand_in_the_first_file_and_its_table_says_whence_it_is(site, empty):
    done = site.send("/new", {**SAID, **MORE}, "agency.txt", pasted().encode())
    assert done.status == 303
    where, _, ticket = done.headers["location"].partition("?done=")
    assert where == "/at/gauge.toml/shore" and ticket
    document = tomllib.loads((empty / "gauge.toml").read_text(encoding="utf-8"))
    assert [document[key] for key in ("title", "units", "time_zone")] == [
        "Made bay",
        "feet",
        "America/Halifax",
    ]
    assert [document["spots"][0][key] for key in ("name", "latitude", "longitude")] == [
        "Long wharf",
        42.4,
        -71.1,
    ]
    station = document["stations"][0]
    assert [station[key] for key in ("name", "latitude", "longitude")] == ["Gauge", 42.35, -71.05]
    assert (station["datum"], station["mean_level"]) == ("MLLW", 1.6)
    table = (empty / station["constituents"]).read_text(encoding="utf-8")
    shown = site.get(done.headers["location"])
    notice = html.unescape(re.search('role="status">\n<p>(.*?)</p>', shown.text)[1])
    begun = "Made gauge.toml. Hold today's water below beside a printed table, then look at the week. "
    assert notice.startswith(begun)
    comments = [line.removeprefix("# ") for line in table.splitlines() if line.startswith("#")]
    assert "from agency.txt" in comments[0]
    for sentence in ("Amplitudes in metres, as given.", "Phase lags are Greenwich, as given."):
        assert sentence in notice and any(sentence in line for line in comments)


def test_nothing_is_made_where_a_file_of_that_name_is(site, empty):
    path = empty / "gauge.toml"
    path.write_text("mine", encoding="utf-8")
    answer = site.post("/new", {**SAID, "table": pasted()})
    assert (answer.status, marked(answer)) == (422, ["/files"])
    told = "gauge.toml: found such a file beside the station file already; expected none: choose another id"
    assert f'<p class="hazard" role="alert">{told}</p>' in answer.text
    assert 'value="Long wharf"' in answer.text
    path.rename(empty / "gauge.csv")
    answer = site.post("/new", {**SAID, "table": pasted()})
    assert answer.status == 422 and "found such a file already" in answer.words
    assert [item.name for item in empty.iterdir()] == ["gauge.csv"]


def test_a_first_file_taken_back_is_told_on_a_page_that_is_there(site, empty):
    page = site.posted("/new", {**SAID, "table": pasted()})
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    shown = site.posted("/undo", {"ticket": ticket})
    assert (shown.status, marked(shown)) == (200, ["/files"])
    assert "<p>Undone.</p>" in shown.text and "There is no station file in this folder yet." in shown.words
    assert list(empty.iterdir()) == []


def test_a_first_file_that_can_not_be_written_leaves_no_table(site, empty, monkeypatch):
    def full(path, data, **_):
        if path.suffix == ".toml":
            raise OutputError(f"{path.name}: can't write the result: No space left on device")
        path.write_bytes(data)

    monkeypatch.setattr("windows.render.files.write_whole", full)
    answer = site.post("/new", {**SAID, "table": pasted()})
    assert answer.status == 422 and "No space left on device" in answer.words
    assert list(empty.iterdir()) == []


def test_a_first_file_that_was_changed_since_stays(site, empty):
    page = site.posted("/new", {**SAID, "table": pasted()})
    made = {path.name for path in empty.iterdir()}
    path = empty / "gauge.toml"
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    answer = site.post("/undo", {"ticket": ticket})
    assert (answer.status, marked(answer)) == (409, [])
    assert '<p class="lead">The file was changed since, so it stays.</p>' in answer.text
    assert '<a class="way" href="/files">Back</a>' in answer.text
    assert {path.name for path in empty.iterdir()} == made


def test_what_was_undone_is_told_on_the_page_it_was_done_on_and_can_not_be_undone(standing, monkeypatch):
    deeds: dict[str, Done] = {}
    monkeypatch.setattr(Undoings, "take", lambda _self, ticket: deeds.pop(ticket, None))
    deeds["a"] = Done("Done.", f"{AT}/shore", lambda: "Undone it.", "a")
    answer = standing.post("/undo", {"ticket": "a"})
    assert answer.status == 303 and answer.headers["location"].startswith(f"{AT}/shore?done=")
    shown = standing.get(answer.headers["location"])
    assert "<p>Undone it.</p>" in shown.text and ">Undo<" not in shown.text

    def failing():
        raise EbblightError("one\ntwo")

    deeds["b"] = Done("Done.", f"{AT}/shore", failing, "b")
    answer = standing.post("/undo", {"ticket": "b"})
    assert answer.status == 409
    assert '<p class="lead">one</p>\n<p>two</p>' in answer.text
    assert f'<a class="way" href="{AT}/shore">Back</a>' in answer.text
    deeds["c"] = Done("Told.", f"{AT}/shore", None, "c")
    for gone in ("a", "c"):
        answer = standing.post("/undo", {"ticket": gone})
        assert (answer.status, "There is nothing left to undo here." in answer.words) == (409, True)
    assert standing.post("/undo", {}).status == 409


def test_the_first_page_of_a_folder_with_one_file_is_that_file_s(serving, folder):
    site = serving(folder)
    assert site.get("/").headers["location"] == "/at/made.toml/week"
    (folder / "b <i>.toml").write_bytes((folder / "made.toml").read_bytes())
    assert site.get("/").headers["location"] == "/files"
    opened = serving(folder / "made.toml")
    assert opened.get("/").headers["location"] == "/at/made.toml/week"
    (folder / "made.toml").rename(folder / "a.toml")
    assert opened.get("/").headers["location"] == "/files"
    answer = opened.get("/files")
    assert (answer.status, marked(answer)) == (200, ["/files"])
    assert re.findall(r'<li><a class="way" href="([^"]*)">([^<]*)</a></li>', answer.text) == [
        ("/at/a.toml/week", "a.toml"),
        ("/at/b%20%3Ci%3E.toml/week", "b &lt;i&gt;.toml"),
    ]
    assert f"The folder is {folder}." in answer.words
    assert "<h1>Station files</h1>" in answer.text


def test_the_manual_is_a_room_of_the_file_that_was_opened(standing):
    contents = standing.get("/guide")
    assert marked(contents) == ["/guide"] and f'href="{AT}/week"' in contents.text
    assert "<h1>The manual</h1>" in contents.text
    assert re.findall(r'<dt><a href="/guide/([^"]*)">([^<]*)</a>', contents.text) == [
        (topic, html.escape(page(topic).title, quote=False).replace("`", "`")) for topic in TOPICS
    ]
    for topic in ("records", "cautions"):
        answer = standing.get(f"/guide/{topic}")
        assert marked(answer) == ["/guide"] and f'href="{AT}/week"' in answer.text
        assert f"<title>{page(topic).title}</title>" in answer.text
        assert '<article class="manual">' in answer.text


def test_a_picture_of_the_manual_is_a_drawing_that_loads_nothing(standing):
    for name in PICTURES:
        answer = standing.get(f"/guide/pictures/{name}")
        assert (answer.status, answer.headers["content-type"]) == (200, "image/svg+xml")
        assert answer.headers["content-security-policy"] == "default-src 'none'; style-src 'unsafe-inline'"
        assert answer.body.lstrip().startswith(b"<svg")
    assert standing.get("/guide/pictures/none.svg").status == standing.get("/guide/none").status == 404
