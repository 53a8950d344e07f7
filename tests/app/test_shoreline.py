"""The shoreline's forms: what they write, what they refuse, and what they never write over."""

import html
import re
import tomllib

import pytest

from tests.app.asking import AT
from windows.render.words.file_forms import label_of

SPOTS = f"{AT}/shore/spots"
NEW = {"name": "Ferry steps", "latitude": "29° 19.8' N", "longitude": "-90.60", "station": "reed-landing"}


@pytest.fixture
def path(coast):
    return coast / "pellaway_sound.toml"


def document(path):
    return tomllib.loads(path.read_text(encoding="utf-8"))


def revised(site, page: str, fields: dict[str, str]) -> dict[str, str]:
    """A form as it would be sent: the page's revision with the fields."""
    return {"revision": site.hidden(page, "revision"), "deed": "save", **fields}


def fields_of(text: str) -> dict[str, str]:
    """What stands in a form's fields."""
    found = dict(re.findall(r'<input id="f-[^"]*" type="text" name="([^"]*)" value="([^"]*)"', text))
    for name, body in re.findall(r'<select id="f-[^"]*" name="([^"]*)".*?>(.*?)</select>', text, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected>', body)
        found[name] = chosen[1] if chosen else ""
    return {key: html.unescape(value) for key, value in found.items()}


def test_a_spot_is_added_and_every_other_byte_stays(site, path):
    before = path.read_bytes()
    page = site.posted(f"{SPOTS}/new", revised(site, f"{SPOTS}/new", NEW))
    assert "Saved: spot Ferry steps." in page.words
    spot = document(path)["spots"][-1]
    assert spot == {
        "id": "ferry-steps", "name": "Ferry steps", "latitude": 29.33, "longitude": -90.60,
        "station": "reed-landing",
    }  # fmt: skip
    after = path.read_bytes()
    added = len(after) - len(before)
    start = next(i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b)
    assert after[:start] + after[start + added :] == before
    assert "Ferry steps" in site.get(f"{AT}/week?spot=ferry-steps&start=2026-08-10").words


def test_undo_takes_an_addition_back(site, path):
    before = path.read_bytes()
    page = site.posted(f"{SPOTS}/new", revised(site, f"{SPOTS}/new", NEW))
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    assert "Undone." in site.posted("/undo", {"ticket": ticket}).words
    assert path.read_bytes() == before
    assert site.post("/undo", {"ticket": ticket}).status == 409


def test_a_form_that_changes_nothing_writes_the_same_bytes(site, path):
    before = path.read_bytes()
    for number in range(4):
        page = f"{SPOTS}/{number}"
        site.posted(page, revised(site, page, fields_of(site.get(page).text)))
    for page in (f"{AT}/shore/{kind}" for kind in ("fishing", "boat", "outing", "head", "banks/0", "ways/2")):
        site.posted(page, revised(site, page, fields_of(site.get(page).text)))
    assert path.read_bytes() == before


def test_keys_are_changed_added_and_taken_out(site, path):
    page = f"{SPOTS}/2"
    fields = {
        **fields_of(site.get(page).text),
        "slack_lag": "45",
        "depth_at_datum": "",
        "days": "sat, sun",
        "flow.opening_area_m2": "40.5",
        "daylight_only": "true",
        "exposed": "[{ from = 120, to = 210, fetch_km = 14, depth_m = 3 }]",
    }
    site.posted(page, revised(site, page, fields))
    text, spot = path.read_text(encoding="utf-8"), document(path)["spots"][2]
    assert spot["slack_lag"] == 45
    assert "depth_at_datum" not in spot
    assert spot["days"] == ["sat", "sun"]
    assert spot["flow"] == {"basin_area_m2": 800_000, "opening_area_m2": 40.5}
    assert spot["daylight_only"] is True
    assert spot["exposed"] == [{"from": 120, "to": 210, "fetch_km": 14, "depth_m": 3}]
    assert "# a pond of 80 hectares empties through one cut" in text


def test_every_problem_stands_beside_its_field_and_nothing_is_written(site, path):
    before = path.read_bytes()
    fields = {"latitude": "north", "longitude": "-190", "station": "reed-landing", "light": "dim"}
    answer = site.post(f"{SPOTS}/new", revised(site, f"{SPOTS}/new", fields))
    assert answer.status == 422
    for key, told in (
        ("latitude", "Found &#39;north&#39;; expected degrees from -90 to 90"),
        ("longitude", "Found -190"),
        ("light", "Found &#39;dim&#39;; expected"),
    ):
        beside = answer.text.partition(f'id="p-{key}"')[2].partition("</div>")[0]
        assert told in beside, key
    assert 'value="north"' in answer.text
    assert path.read_bytes() == before


def test_the_margin_of_a_day_out_is_asked_for_written_and_refused(site, path):
    page, before = f"{AT}/shore/outing", path.read_bytes()
    text = site.get(page).text
    assert "Margin before the water shuts a landing or way" in html.unescape(text)
    assert "A length from &#34;0min&#34; to &#34;3h&#34;" in text
    answer = site.post(page, revised(site, page, {**fields_of(text), "margin": "4h"}))
    assert answer.status == 422
    beside = answer.text.partition('id="p-margin"')[2].partition("</div>")[0]
    assert "Found &#39;4h&#39;; expected a length from" in beside
    assert path.read_bytes() == before
    site.posted(page, revised(site, page, {**fields_of(text), "margin": "20min"}))
    assert document(path)["outing"]["margin"] == "20min"


def test_what_the_whole_file_makes_impossible_is_told_too(site, path):
    before = path.read_bytes()
    answer = site.post(f"{SPOTS}/new", revised(site, f"{SPOTS}/new", {**NEW, "longitude": "90.6"}))
    assert answer.status == 422
    assert "km" in answer.words
    assert path.read_bytes() == before


def test_a_spot_is_deleted_and_comes_back_to_the_byte(site, path):
    before = path.read_bytes()
    page = site.posted(f"{SPOTS}/3", revised(site, f"{SPOTS}/3", {"deed": "delete"}))
    assert "Deleted: spot Grass cut." in page.words
    assert [spot["id"] for spot in document(path)["spots"]] == [
        "railway-groyne",
        "oyster-dock",
        "marsh-drain",
    ]
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert path.read_bytes() == before


def test_a_deleted_table_comes_back_into_a_file_that_was_changed_meanwhile(site, path):
    page = site.posted(f"{SPOTS}/3", revised(site, f"{SPOTS}/3", {"deed": "delete"}))
    path.write_text(path.read_text(encoding="utf-8") + "\n# a note of mine\n", encoding="utf-8")
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert document(path)["spots"][-1]["id"] == "grass-cut"
    assert "# a note of mine" in path.read_text(encoding="utf-8")


def test_what_others_need_is_not_deleted(site, path):
    before = path.read_bytes()
    page = f"{AT}/shore/stations/1"
    answer = site.post(page, revised(site, page, {"deed": "delete"}))
    assert answer.status == 422
    assert "spots[1].station" in answer.words
    assert path.read_bytes() == before


def test_two_tabs_and_an_editor_never_write_over_each_other(site, path):
    page = f"{SPOTS}/0"
    one, other = (revised(site, page, fields_of(site.get(page).text)) for _ in range(2))
    site.posted(page, {**one, "slack_lag": "10"})
    answer = site.post(page, {**other, "slack_lag": "20"})
    assert answer.status == 422
    assert "The file was changed elsewhere while this form was open" in answer.words
    assert document(path)["spots"][0]["slack_lag"] == 10
    assert 'value="20"' in answer.text
    again = re.search(r'name="revision" value="([^"]*)"', answer.text)[1]
    site.posted(page, {**other, "revision": again, "slack_lag": "20"})
    assert document(path)["spots"][0]["slack_lag"] == 20
    stale = revised(site, page, fields_of(site.get(page).text))
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    assert site.post(page, {**stale, "slack_lag": "30"}).status == 422
    assert path.read_text(encoding="utf-8").endswith("# mine\n")


def test_one_of_two_problems_can_be_put_right_and_no_new_one_made(site, path):
    text = path.read_text(encoding="utf-8")
    text = text.replace("slack_lag = 25", "slack_lag = 999").replace("slack_lag = 40", "slack_lag = 888")
    path.write_text(text, encoding="utf-8")
    page = f"{SPOTS}/0"
    fields = revised(site, page, fields_of(site.get(page).text))
    assert site.post(page, {**fields, "slack_lag": "777"}).status == 422
    site.posted(page, {**fields, "slack_lag": "25"})
    assert [spot.get("slack_lag") for spot in document(path)["spots"][:2]] == [25, 888]
    assert "spots[1].slack_lag: found 888" in site.get(f"{AT}/shore").words


NAMES = (
    *("</title>", "\u202eevil", "a\x00b", "a\nb", "' onclick='x"),
    *('<script>alert("x")</script>', '"><img src=x onerror=y>'),
)


def test_markup_in_a_name_is_shown_as_it_is(site, path):
    before = path.read_bytes()
    for name in NAMES:
        path.write_bytes(before)
        shown_as_it_is(site, name)


def shown_as_it_is(site, name):
    answer = site.post(f"{SPOTS}/new", revised(site, f"{SPOTS}/new", {**NEW, "name": name}))
    assert answer.status in {303, 422}
    for page in (
        f"{AT}/shore",
        f"{SPOTS}/4",
        f"{AT}/log/new",
        f"{AT}/week?start=2026-08-10&spot=ferry-steps",
    ):
        text = site.get(page).text
        assert "<script>alert" not in text
        assert "<img" not in text


def test_markup_in_every_field_of_every_form(site):
    mark = "\"><script>x</script>'</textarea></select>"
    lists = ("spots", "banks", "landings", "ways", "quarry", "rules", "stations", "currents")
    forms = [*(f"{kind}/new" for kind in lists), "fishing", "boat", "outing", "head"]
    for page in (*(f"{AT}/shore/{form}" for form in forms), "/new", f"{AT}/log/new"):
        names = re.findall(r'id="f-[^"]*"[^>]*name="([^"]*)"', site.get(page).text)
        assert names, page
        answer = site.post(page, revised_or_not(site, page) | dict.fromkeys(names, mark))
        assert answer.status == 422, page
        assert "<script>x" not in answer.text, page
        assert "Traceback" not in answer.text


def revised_or_not(site, page: str) -> dict[str, str]:
    found = re.search(r'name="revision" value="([^"]*)"', site.get(page).text)
    return {"deed": "save"} | ({"revision": found[1]} if found else {})


def test_line_ends_of_another_system_stay(site, path):
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    page = f"{SPOTS}/0"
    site.posted(page, revised(site, page, {**fields_of(site.get(page).text), "slack_lag": "15"}))
    data = path.read_bytes()
    assert b"slack_lag = 15\r\n" in data
    assert data.count(b"\n") == data.count(b"\r\n")


@pytest.mark.parametrize("kind", ["weather", "nothing", "SPOTS", "..", "spots/9", "spots/-1", "spots/x"])
def test_there_is_no_form_of_anything_else(site, kind):
    assert site.get(f"{AT}/shore/{kind}").status == 404


@pytest.mark.parametrize(
    ("key", "label"),
    [
        ("most_moves", "Most moves"),
        ("flow.basin_area_m2", "Basin area"),
        ("line_diameter_mm", "Line diameter"),
    ],
)
def test_a_label_is_its_key_without_the_unit(key, label):
    assert label_of(key) == label
