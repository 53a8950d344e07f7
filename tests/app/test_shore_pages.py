"""The page of a shore and the forms behind it: what they show, offer, fold away, and what stands as wrong."""

import html
import re
import tomllib

import pytest

from harmonics.errors import OutputError, Problem
from tests.app.asking import AT
from tests.app.sending import beside, undone
from windows.app import shoreline
from windows.app.table_forms import fields_of_kind, name_of, views_of

SHORE = f"{AT}/shore"
NOTE = "Heights and depths are in feet, speeds in knots"
ENDS = [
    ("cane-ramp", "Cane ramp"),
    ("railway-groyne", "Railway groyne"),
    ("oyster-dock", "Oyster dock"),
    ("marsh-drain", "Marsh drain"),
    ("grass-cut", "Grass cut"),
    ("shell-flat", "Shell flat"),
]
STATIONS = [("gannet-bar", "Gannet Bar Light"), ("reed-landing", "Reed Landing")]


@pytest.fixture
def path(coast):
    return coast / "pellaway_sound.toml"


def added(path, text: str) -> None:
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{text}\n", encoding="utf-8")


def document(path):
    return tomllib.loads(path.read_text(encoding="utf-8"))


def heading(text: str) -> str:
    return html.unescape(re.search("<h1>([^<]*)</h1>", text)[1])


def under(text: str, head: str) -> str:
    """What stands under a heading of a page."""
    return text.partition(f"<h2>{head}</h2>")[2].partition("<h2>")[0]


def links(text: str) -> list[tuple[str, str]]:
    found = re.findall(r'<a class="way[^"]*" href="([^"]*)">(?:<bdi>)?([^<]*)<', text)
    return [(html.unescape(way), html.unescape(label)) for way, label in found]


def options(text: str) -> dict[str, list[tuple[str, str]]]:
    """What each choice of a form offers but for nothing."""
    shown = re.findall(r'<select id="f-[^"]*" name="([^"]*)".*?>(.*?)</select>', text, re.DOTALL)
    return {name: re.findall(r'<option value="([^"]*)"[^>]*>([^<]*)<', body)[1:] for name, body in shown}


def groups(text: str) -> list[tuple[str, str]]:
    return re.findall(r"<(legend|summary)>([^<]*)<", text)


def test_the_page_of_a_shore_leads_to_all_that_its_file_says(standing):
    text = standing.get(SHORE).text
    assert heading(text) == "Pellaway Sound"
    assert re.findall("<h2>([^<]*)</h2>", text) == [
        *("Spots", "Stations", "Currents", "Bait banks", "Landings", "Ways"),
        *("Fish you are after", "Rules to keep fish by", "For the whole file", "Files it reads"),
        html.unescape("Today's water"),
    ]
    assert links(under(text, "Stations")) == [
        (f"{SHORE}/stations/0", "Gannet Bar Light"),
        (f"{SHORE}/stations/1", "Reed Landing"),
        (f"{SHORE}/stations/new", "Add a station"),
    ]
    assert links(under(text, "Fish you are after")) == [(f"{SHORE}/quarry/new", "Add a fish")]
    assert links(under(text, "For the whole file")) == [
        (f"{SHORE}/head", "Title, clock and units"),
        (f"{SHORE}/fishing", "Preferences of all spots"),
        (f"{SHORE}/boat", "Boat"),
        (f"{SHORE}/outing", "A day out"),
        (f"{SHORE}/log", "Where trips are kept"),
    ]
    water = under(text, "Today's water")
    assert "Mon 10 Aug 2026" in water and "gannet-bar: high 09:18 2.01 ft, low 20:45 -0.27 ft" in water


def test_a_table_without_a_name_is_called_by_what_it_has(site, path):
    added(path, '[[banks]]\nid = "mud"\nstation = "gannet-bar"\nbare_below = 0.2\n')
    added(path, '[[rules]]\nspecies = "bass"\nbag = 2\n\n[[rules]]\nbag = 1\n')
    path.write_text(path.read_text(encoding="utf-8").replace("Pellaway Sound", " "), encoding="utf-8")
    text = site.get(SHORE).text
    assert [label for _, label in links(under(text, "Bait banks"))] == ["Shell flat", "mud", "Add a bank"]
    assert [label for _, label in links(under(text, "Rules to keep fish by"))][:2] == ["bass", "(no name)"]
    assert "To be put right" in text and "rules[1].species" in text
    assert "Today" not in text.partition("To be put right")[2]


def test_of_a_file_that_is_none_the_page_shows_what_is_wrong_alone(site, path):
    path.write_text("title = [", encoding="utf-8")
    text = site.get(SHORE).text
    assert heading(text) == "pellaway_sound.toml"
    assert [way for way, _ in links(text) if not way.endswith("/new")] == []
    assert "For the whole file" not in text and "Files it reads" not in text
    for page in ("spots/new", "stations/new", "currents/new", "head", "boat", "spots/0"):
        assert site.get(f"{SHORE}/{page}").status == 404, page
        assert site.post(f"{SHORE}/{page}", {"name": "x"}).status == 404, page


@pytest.mark.parametrize(
    ("page", "head", "note", "goes"),
    [
        ("spots/0", "Railway groyne", True, True),
        ("spots/new", "A new spot", True, False),
        ("ways/2", "Cane ramp to Railway groyne", True, True),
        ("ways/new", "A new way", True, False),
        ("boat", "Boat", True, True),
        ("head", "Pellaway Sound", True, False),
        ("log", "Where trips are kept", False, False),
        ("rules/new", "A new rule", True, False),
    ],
)
def test_a_form_is_headed_and_tells_its_units_and_whether_its_table_can_go(standing, page, head, note, goes):
    text = standing.get(f"{SHORE}/{page}").text
    assert heading(text) == head
    assert (NOTE in text) is note
    assert ('name="deed" value="delete"' in text) is goes
    assert f'<a href="{SHORE}" aria-current="page">' in text
    assert f'<a class="way" href="{SHORE}">Back without saving</a>' in text
    assert 'role="alert"' not in text


@pytest.mark.parametrize(
    ("page", "offered"),
    [
        ("spots/0", {"station": STATIONS, "bank": [("shell-flat", "Shell flat")], "quarry": []}),
        ("stations/1", {"reference": STATIONS}),
        ("outing", {"start": [("cane-ramp", "Cane ramp")]}),
        ("ways/0", {"from": ENDS, "to": ENDS, "station": STATIONS}),
    ],
)
def test_a_field_that_names_another_table_offers_those_there_are(standing, page, offered):
    shown = options(standing.get(f"{SHORE}/{page}").text)
    assert {key: shown.get(key, []) for key in offered} == offered


def test_fish_are_offered_by_their_names(site, path):
    added(path, '[[quarry]]\nname = "bass"\n\n[[quarry]]\nname = "drum"\n')
    text = site.get(f"{SHORE}/spots/0").text
    assert options(text)["quarry"] == [("bass", "bass"), ("drum", "drum")]
    assert options(text)["daylight_only"] == [("true", "yes"), ("false", "no")]


def test_groups_stand_in_order_and_are_folded_while_they_are_empty(standing):
    """A spot's own keys first, what holds for all spots last."""
    inner = ["Points of the factors", "Speeds that fish well, in knots", "What is known of its current"]
    everything = [*inner, "Preferences of this one alone"]
    assert groups(standing.get(f"{SHORE}/spots/0").text) == [("summary", head) for head in everything]
    drain = dict((head, tag) for tag, head in groups(standing.get(f"{SHORE}/spots/2").text))
    assert {head for head, tag in drain.items() if tag == "legend"} == {"What is known of its current"}
    refused = standing.post(f"{SHORE}/spots/0", {"revision": "old", "points.flow": "x"})
    assert ("legend", "Points of the factors") in groups(refused.text)


@pytest.mark.parametrize("page", ["landings/0", "ways/0"])
def test_what_shuts_a_landing_or_a_way_is_the_water_it_needs(standing, page):
    text = standing.get(f"{SHORE}/{page}").text
    ((_, head),) = groups(text)
    assert head == "The water it needs"
    inside = text[text.index(head) :]
    asked = re.findall(r'name="([a-z_]+)"', inside)
    assert asked[:4] == ["station", "least_level", "greatest_level", "depth_at_datum"]


def test_a_new_table_begins_with_what_its_address_says(standing):
    text = standing.get(f"{SHORE}/spots/new?name=Ferry+steps&station=reed-landing&other=1").text
    assert 'name="name" value="Ferry steps"' in text
    assert '<option value="reed-landing" selected>' in text
    assert set(re.findall(r'type="text" name="[^"]*" value="([^"]*)"', text)) == {"Ferry steps", ""}
    shown = standing.get(f"{SHORE}/spots/0?name=Other").text
    assert 'name="name" value="Railway groyne"' in shown


def test_files_of_a_station_are_offered_with_it_alone(standing):
    found = {
        page: [way for way, _ in links(standing.get(f"{SHORE}/{page}").text) if "/files/" in way]
        for page in ("stations/0", "spots/0", "boat", "stations/1")
    }
    record, readings = f"{AT}/files/record/0", f"{AT}/files/readings/0"
    assert found == {"stations/0": [record, readings], "spots/0": [], "boat": [], "stations/1": []}
    refused = standing.post(f"{SHORE}/stations/0", {"revision": "old"})
    assert [way for way, _ in links(refused.text) if "/files/" in way] == [record, readings]


@pytest.mark.parametrize(
    ("kind", "fields", "told", "made"),
    [
        ("banks", {"station": "gannet-bar", "bare_below": "0.2"}, "bank bank", {"id": "bank"}),
        ("landings", {"name": "Old Pier", "latitude": "29.34", "longitude": "-90.63",
                      "station": "reed-landing"}, "landing Old Pier", {"id": "old-pier"}),
        ("quarry", {"name": "bass"}, "fish bass", {"name": "bass"}),
        ("rules", {"species": "bass", "bag": "2"}, "rule bass", {"species": "bass", "bag": 2}),
        ("ways", {"from": "cane-ramp", "to": "grass-cut", "minutes": "9"},
         "way Cane ramp to Grass cut", {"from": "cane-ramp", "to": "grass-cut", "minutes": 9}),
    ],
)  # fmt: skip
def test_a_table_more_is_told_by_its_kind_and_name_and_can_be_undone(site, path, kind, fields, told, made):
    before, page = path.read_bytes(), f"{SHORE}/{kind}/new"
    given = {"revision": site.hidden(page, "revision"), "deed": "delete", **fields}
    answer = site.post(page, given)
    assert (answer.status, answer.headers["location"].partition("?")[0]) == (303, SHORE), answer.words
    shown = site.get(answer.headers["location"])
    assert re.findall(r'role="status">\s*<p>([^<]*)</p>', shown.text) == [f"Saved: {told}."]
    table = document(path)[kind][-1]
    assert {key: table.get(key) for key in made} == made and ("id" in table) is ("id" in made)
    undone(site, shown)
    assert path.read_bytes() == before


def test_what_stands_once_is_made_changed_and_deleted(site, path):
    text = path.read_text(encoding="utf-8")
    path.write_text(text[: text.index("[[landings]]")], encoding="utf-8")
    page = f"{SHORE}/boat"
    assert 'value="delete"' not in site.get(page).text
    for fields, told, found in (
        ({"speed_kn": "8"}, "Saved: boat.", {"speed_kn": 8}),
        ({"draft": "2"}, "Saved: boat.", {"speed_kn": 8, "draft": 2}),
        ({"deed": "delete"}, "Deleted: boat.", None),
    ):
        shown = site.posted(page, {"revision": site.hidden(page, "revision"), **fields})
        assert told in shown.words
        assert document(path).get("boat") == found


def test_a_name_that_is_changed_is_the_one_that_is_told(site, path):
    page = f"{SHORE}/spots/0"
    shown = site.posted(page, {"revision": site.hidden(page, "revision"), "name": "Long groyne"})
    assert "Saved: spot Long groyne." in shown.words
    page = f"{SHORE}/head"
    shown = site.posted(page, {"revision": site.hidden(page, "revision"), "title": "Sound"})
    assert "Saved: file Sound." in shown.words and heading(shown.text) == "Sound"


def test_what_is_wrong_elsewhere_is_told_once_something_was_sent(site, path):
    path.write_text(
        path.read_text(encoding="utf-8").replace("slack_lag = 40", "slack_lag = 888"), encoding="utf-8"
    )
    page = f"{SHORE}/spots/0"
    assert "888" not in site.get(page).text and NOTE not in site.get(page).text
    assert "Found 888" in beside(site.get(f"{SHORE}/spots/1"), "slack_lag")
    given = {"revision": site.hidden(page, "revision"), "slack_lag": "777"}
    answer = site.post(page, given)
    assert answer.status == 422 and "Found 777" in beside(answer, "slack_lag")
    assert "888" not in answer.words
    assert "888" not in site.get(f"{SHORE}/spots/new").text


def test_wrong_parts_of_a_value_stand_beside_its_field(standing):
    page = f"{SHORE}/spots/0"
    given = {"revision": standing.hidden(page, "revision"), "exposed": "[{ from = 1 }]", "points.flow": "x"}
    answer = standing.post(page, given)
    assert answer.status == 422
    assert "Found &#39;x&#39;" in beside(answer, "points.flow")
    assert beside(answer, "exposed").count("Found nothing") == 3
    assert '<p class="hazard" role="alert">' not in answer.text


def test_problems_at_one_place_are_all_told_and_those_of_other_tables_apart():
    fields = fields_of_kind("spots", {})
    found = [
        Problem("spots[1].name", "one", "a name"),
        Problem("spots[1].name", "two", "another"),
        Problem("spots[1].names", "three", "none"),
        Problem("name", "four", "none"),
        Problem("spots[11].name", "five", "none"),
        Problem("spots[1]", "six", "none"),
    ]
    shown, loose = views_of({}, fields, {}, found, "spots[1]")
    beside_name = next(view.problems for group in shown for view in group.fields if view.key == "name")
    assert beside_name == ("Found one; expected a name.", "Found two; expected another.")
    assert loose == tuple(map(str, found[2:]))
    assert sum(bool(view.problems) for group in shown for view in group.fields) == 1
    shown, loose = views_of({}, fields, {}, [Problem("spots[1].points.flow", "one", "a number")], "spots[1]")
    assert [group.heading for group in shown if group.open] == ["", "Points of the factors"] and not loose


def test_a_way_to_a_place_that_is_none_is_called_by_its_id():
    places = {"spots": [{"id": "a"}, {"id": "b", "name": "Bar"}], "banks": [{"id": "c", "name": "C\u202eb"}]}
    assert name_of(places, "ways", {"from": "a", "to": "b"}) == "a to Bar"
    assert "\u202e" not in name_of(places, "ways", {"from": "c", "to": "x\u202e"})
    assert name_of(places, "spots", {"id": "a"}) == "a" and name_of(places, "boat", {"name": "Gull"}) == ""


@pytest.mark.parametrize("number", ["%C2%B2", "%D9%A0", "0000000", "1" * 4000, "4"])
def test_no_other_number_names_a_table(standing, number):
    assert standing.get(f"{SHORE}/spots/{number}").status == 404


def test_why_nothing_was_written_is_told_above_the_form_with_its_letters_shown(site, monkeypatch):
    def full(*_):
        raise OutputError("a\x1b\u202e: no room")

    monkeypatch.setattr(shoreline, "save_text", full)
    page = f"{SHORE}/spots/0"
    answer = site.post(page, {"revision": site.hidden(page, "revision"), "name": "Long groyne"})
    assert answer.status == 422 and 'value="Long groyne"' in answer.text
    assert r'<p class="hazard" role="alert">a\x1b\u202e: no room</p>' in answer.text
