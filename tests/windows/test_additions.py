"""Tables added to a file's text, changed and removed: every other byte stays, ids stay apart."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError
from windows.shoreline.additions import HEAD, added, changed, place_of, put_back, removed
from windows.shoreline.ids import free_id, identifier_of
from windows.shoreline.toml_text import put_in

FILE = """\
# mine, by hand
title = "Shore"   # of ours
time_zone = 'America/New_York'
units = "metres"

# the gauge
[[stations]]
id = "pier"
name = "Pier"
latitude  = 43.10
longitude = -70.70
datum = "MLLW"
mean_level = 1.02
length_unit = "metres"
constituents = "pier.csv"

# by the wall
[[spots]]
id = "wall"
name = '''
[[spots]]'''   # not a header
latitude = 43.105
longitude = -70.71   # west
station = "pier"
[spots.flow]   # seen in May
strong_ebb = 1.20
# below the wall

# the flat
[[banks]]
id = "flat"
name = "Flat"
station = "pier"
bare_below = 0.4

[fishing]
light = "low"
# the last line
"""
SPOT = {"id": "dock", "name": "Dock", "latitude": 43.11, "longitude": -70.7, "station": "pier"}
WITH_CRLF = FILE.replace("\n", "\r\n")


def refused(call, *arguments):
    with pytest.raises(FileProblemsError) as caught:
        call("shore.toml", *arguments)
    (problem,) = caught.value.problems
    return problem


def spots(text):
    return tomllib.loads(text.removeprefix("\ufeff"))["spots"]


class TestAdded:
    @pytest.mark.parametrize("text", [FILE, WITH_CRLF, "\ufeff" + FILE, "\ufeff" + WITH_CRLF])
    def test_after_the_last_of_its_kind_with_every_byte_kept(self, text):
        edit = added("shore.toml", text, "spots", {**SPOT, "slack_lag": None, "flow": {"strong_ebb": 1.5}})
        assert edit.where == "spots[1]"
        assert spots(edit.text)[1] == {**SPOT, "flow": {"strong_ebb": 1.5}}
        start = next(i for i, pair in enumerate(zip(text, edit.text, strict=False)) if pair[0] != pair[1])
        length = len(edit.text) - len(text)
        assert edit.text[:start] + edit.text[start + length :] == text
        end = "\r\n" if "\r\n" in text else "\n"
        assert f"# below the wall{end}{end}[[spots]]{end}id" in edit.text
        assert f"strong_ebb = 1.5}}{end}{end}# the flat{end}" in edit.text
        assert ("\n" in edit.text.replace("\r\n", "")) == ("\n" in text.replace("\r\n", ""))

    def test_the_first_of_its_kind_stands_at_the_end(self):
        landing = {"id": "ramp", "name": "Ramp", "latitude": 43.1, "longitude": -70.69}
        edit = added("shore.toml", FILE, "landings", landing)
        assert edit.text.startswith(FILE + "\n[[landings]]\n")

    def test_a_text_without_a_last_line_end(self):
        edit = added("shore.toml", FILE.rstrip(), "spots", SPOT)
        assert edit.text.startswith(FILE[:-400]) and spots(edit.text)[1] == SPOT

    def test_a_table_that_stands_once(self):
        edit = added("shore.toml", FILE, "boat", {"speed_kn": 6, "draft": 0.4})
        assert tomllib.loads(edit.text)["boat"] == {"speed_kn": 6, "draft": 0.4}
        assert "one" in str(refused(added, edit.text, "boat", {"speed_kn": 5}))

    def test_inner_tables_further_down_stay_with_their_own(self):
        """A table put right after the spot would take over what is said of the spot below."""
        apart = FILE.replace("[spots.flow]   # seen in May\nstrong_ebb = 1.20\n", "")
        apart += "\n[spots.flow]\nstrong_ebb = 1.2\n"
        edit = added("shore.toml", apart, "spots", SPOT)
        assert edit.text.startswith(apart)
        assert [item.get("flow") for item in spots(edit.text)] == [{"strong_ebb": 1.2}, None]

    def test_a_list_on_one_line_is_refused(self):
        text = 'title = "T"\nspots = [{ id = "a" }]\n'
        assert "[[spots]]" in refused(added, text, "spots", SPOT).expected

    @pytest.mark.parametrize(
        ("kind", "name"), [("spots", "wall"), ("spots", "flat"), ("landings", "wall"), ("currents", "pier")]
    )
    def test_an_id_that_another_has_is_refused(self, kind, name):
        keys = {
            "spots": SPOT,
            "landings": {"name": "Ramp", "latitude": 43.1, "longitude": -70.69},
            "currents": {
                "name": "Gut", "latitude": 43.1, "longitude": -70.7, "flood_direction": 300,
                "ebb_direction": 120, "constituents": "gut.csv",
            },
        }[kind]  # fmt: skip
        problem = refused(added, FILE, kind, {**keys, "id": name})
        assert problem.where.endswith(".id") and "an id of its own" in problem.expected

    def test_a_station_may_be_named_like_a_spot(self):
        added("shore.toml", FILE, "spots", {**SPOT, "id": "pier"})

    def test_keys_that_such_a_table_does_not_have(self):
        assert refused(added, FILE, "spots", {**SPOT, "depth": 1}).where == "spots[1].depth"
        assert refused(added, FILE, "boats", {}).where == "boats[0]"
        assert refused(added, FILE, "spots", {**SPOT, "latitude": 143.0}).where == "spots[1].latitude"

    def test_text_that_is_not_toml(self):
        assert "not TOML" in refused(added, "title = ", "spots", SPOT).found

    @given(name=st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=80))
    def test_any_name_is_quoted(self, name):
        assert spots(added("shore.toml", FILE, "spots", {**SPOT, "name": name}).text)[1]["name"] == name


class TestChanged:
    @pytest.mark.parametrize("text", [FILE, WITH_CRLF, "\ufeff" + FILE])
    def test_only_the_value_changes(self, text):
        edit = changed("shore.toml", text, "spots", 0, {"longitude": -70.72})
        assert edit.text == text.replace("-70.71 ", "-70.72 ")
        assert edit.where == "spots[0]"

    def test_what_is_the_same_keeps_its_look(self):
        edit = changed("shore.toml", FILE, "stations", 0, {"latitude": 43.1, "name": "Pier"})
        assert edit.text == FILE

    def test_a_key_comes_and_goes(self):
        edit = changed("shore.toml", FILE, "spots", 0, {"slack_lag": 20})
        assert edit.text == FILE.replace('station = "pier"\n[', 'station = "pier"\nslack_lag = 20\n[')
        back = changed("shore.toml", edit.text, "spots", 0, {"slack_lag": None})
        assert back.text == FILE

    def test_an_inner_table_keeps_its_comments(self):
        edit = changed("shore.toml", FILE, "spots", 0, {"flow": {"strong_ebb": 1.4}})
        assert edit.text == FILE.replace("1.20", "1.4")

    def test_an_inner_table_is_replaced_as_a_whole(self):
        edit = changed("shore.toml", FILE, "spots", 0, {"flow": {"current": "gut"}})
        assert spots(edit.text)[0]["flow"] == {"current": "gut"}

    def test_the_head(self):
        edit = changed("shore.toml", FILE, HEAD, None, {"title": "Other", "invented": True})
        expected = FILE.replace('"Shore"', '"Other"').replace(
            'units = "metres"\n\n#', 'units = "metres"\ninvented = true\n\n#'
        )
        assert edit.text == expected

    def test_a_table_that_stands_once(self):
        edit = changed("shore.toml", FILE, "fishing", None, {"light": "day"})
        assert edit.text == FILE.replace('"low"', '"day"')

    def test_a_list_on_one_line(self):
        text = 'title = "T"\nways = [\n  { from = "a", to = "b", minutes = 3 }, # short\n]\n'
        edit = changed("shore.toml", text, "ways", 0, {"minutes": 4})
        assert edit.text == text.replace("3", "4")

    def test_another_ones_id_is_refused_and_its_own_is_not(self):
        assert refused(changed, FILE, "spots", 0, {"id": "flat"}).where == "spots[0].id"
        changed("shore.toml", FILE, "spots", 0, {"id": "wall"})

    def test_what_can_not_be_is_refused(self):
        assert refused(changed, FILE, "spots", 0, {"id": None}).where == "spots[0].id"
        assert refused(changed, FILE, "spots", 3, {"name": "x"}).found == "no such table"
        assert refused(changed, FILE, HEAD, None, {"units": "yards"}).where == "units"
        assert refused(changed, FILE, "boat", None, {"draft": 1}).found == "no such table"


class TestRemoved:
    @pytest.mark.parametrize("text", [FILE, WITH_CRLF, "\ufeff" + FILE])
    def test_its_own_comments_go_with_it_and_all_comes_back(self, text):
        edit = removed("shore.toml", text, "spots", 0)
        assert "by the wall" not in edit.text and "below the wall" not in edit.text
        assert "# the flat" in edit.text and "spots" not in edit.text
        assert "by the wall" in edit.taken
        assert put_back("shore.toml", edit.text, edit).text == text

    def test_the_last_table_leaves_the_last_comment(self):
        edit = removed("shore.toml", FILE, "banks", 0)
        assert edit.text.endswith('\n\n[fishing]\nlight = "low"\n# the last line\n')
        assert tomllib.loads(edit.text)["spots"] == spots(FILE)

    def test_it_comes_back_into_a_text_that_has_changed(self):
        edit = removed("shore.toml", FILE, "spots", 0)
        meanwhile = added("shore.toml", edit.text, "spots", SPOT)
        back = put_back("shore.toml", meanwhile.text, edit)
        assert [item["id"] for item in spots(back.text)] == ["dock", "wall"]

    def test_it_does_not_come_back_under_an_id_given_away(self):
        edit = removed("shore.toml", FILE, "spots", 0)
        meanwhile = added("shore.toml", edit.text, "spots", {**SPOT, "id": "wall"})
        assert refused(put_back, meanwhile.text, edit).where == "spots[1].id"

    def test_what_is_not_there(self):
        assert refused(removed, FILE, "spots", 1).found == "no such table"
        assert refused(removed, 'title = "T"\nspots = [{ id = "a" }]\n', "spots", 0).where == "spots[0]"


class TestIds:
    def test_from_a_name(self):
        assert identifier_of("Pa's old dock, 3") == "pa-s-old-dock-3"
        assert identifier_of("港") == "place"
        assert identifier_of("Skarvøy Ærø, Łódź") == "skarvoy-aero-lodz"
        assert identifier_of("Île-d’Orléans") == "ile-d-orleans"

    def test_counted_on_over_all_kinds_that_share(self):
        document = tomllib.loads(FILE)
        assert free_id(document, "spots", "Flat") == "flat-2"
        assert free_id(document, "landings", "Wall") == "wall-2"
        assert free_id(document, "currents", "Pier") == "pier-2"
        assert free_id(document, "spots", "Pier") == "pier"

    def test_a_long_name_keeps_its_number(self):
        long = "a" * 64
        document = {"spots": [{"id": long}, {"id": f"{'a' * 62}-2"}]}
        assert free_id(document, "banks", "A" * 80) == f"{'a' * 62}-3"

    def test_a_fish_is_found_by_its_name(self):
        document = {"quarry": [{"name": "Grey grunter"}, {"name": "Sand digger"}]}
        assert place_of("shore.toml", document, "quarry", "Sand digger") == 1
        with pytest.raises(FileProblemsError, match="no name 'Eel'; expected one of Grey grunter, S"):
            place_of("shore.toml", document, "quarry", "Eel")

    def test_a_list_that_takes_no_header(self):
        inline = 'quarry = [{ name = "Grey grunter" }]\n' + FILE
        problem = refused(added, inline, "quarry", {"name": "Sand digger"})
        assert problem.where == "quarry"
        assert (problem.found, problem.expected) == ("quarry in one list", "[[quarry]] tables, to add one")

    @pytest.mark.parametrize(
        ("written", "found"),
        [
            ("spots = 3", "3"),
            ('spots = "wall"', "'wall'"),
            ("spots = [3]", "a list of 1"),
            ("spots = []", "a list of 0"),
            ("spots = {}", "an empty table"),
            ("spots.flow.strong_ebb = 1.0", "a table"),
        ],
    )
    def test_what_is_no_list_of_tables_takes_no_table(self, written, found):
        bare = written + "\n" + FILE[: FILE.index("[[spots]]")]
        problem = refused(added, bare, "spots", {"id": "dock"})
        assert (problem.where, problem.found) == ("spots", found)
        assert problem.expected == "[[spots]] tables, or none yet, to add one"

    def test_found_by_id(self):
        assert place_of("shore.toml", tomllib.loads(FILE), "spots", "wall") == 0
        with pytest.raises(FileProblemsError, match="wall"):
            place_of("shore.toml", tomllib.loads(FILE), "spots", "dock")


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_is_put_in_is_parted_by_empty_lines(end):
    lines = f"[t]{end}"
    for before in (f"x = 1{end}y = 2", f"x = 1{end}y = 2{end}", f"x = 1{end}y = 2{end}{end}"):
        assert put_in(before, lines, len(before)) == f"x = 1{end}y = 2{end}{end}[t]{end}"
    assert put_in(f"x = 1{end}", lines, 0) == f"[t]{end}{end}x = 1{end}"
    assert put_in(f"{end}x = 1{end}", lines, 0) == f"[t]{end}{end}x = 1{end}"
    assert put_in("", "[t]\n", 0) == "[t]\n"
