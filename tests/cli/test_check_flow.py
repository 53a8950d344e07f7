"""How each spot's flow is told by `check`, in rows and in `compare`; and files that can't be right.

S2 has a period of 12 hours and no node factor: its tides and currents are plain cosines here.
"""

import re
from math import acos, pi

import pytest

from tests.cli.runs import document, done, refused, rows
from tests.coasts import head, spot, written

KNOT = 1852.0 / 3600.0
STATION = """
[[stations]]
id = "pier"
name = "Pier"
latitude = 50.1
longitude = -5.2
datum = "Chart datum"
mean_level = 2.0
length_unit = "metres"
constituents = [{ name = "S2", amplitude = 1.0, phase = 0.0 }]
"""
RACE = """
[[currents]]
id = "race"
name = "Race"
latitude = 50.1
longitude = -5.2
flood_direction = 30
ebb_direction = 215
constituents = [{ name = "S2", amplitude = 1.4, phase = 180.0 }]
"""
ROADS = """
[[currents]]
id = "roads"
name = "Roads"
latitude = 50.1
longitude = -5.2
flood_direction = 30
axis_direction = 0
across_direction = 90
constituents = [{ name = "S2", amplitude = 1.0, phase = 0.0 }]
constituents_across = [{ name = "S2", amplitude = 0.6, phase = 90.0 }]
"""
SOUND = """
[[currents]]
id = "sound"
name = "Sound"
reference = "race"
flood_direction = 40
ebb_direction = 220
flood = {flood}
flood_ratio = 0.5
"""
BASIN = "basin_area_m2 = 600_000, opening_area_m2 = 120"
FLOWS = {
    "current": ('flow = { current = "race", delay = 15, factor = 0.6 }', "measured current"),
    "basin": (f"slack_lag = 20\nflow = {{ {BASIN} }}", "basin outflow"),
    "throat": (
        f"flow = {{ {BASIN}, throat_length_m = 500, hydraulic_radius_m = 2 }}",
        "inlet with friction",
    ),
    "repletion": (f"flow = {{ {BASIN}, repletion = 0.6 }}", "inlet with friction"),
    "strong": ("slack_lag = -10\nflow = { strong_ebb = 1.1 }", "scaled fall"),
    "fall": ("slack_lag = 10", "fall only"),
}
WEEK = ("--start", "2026-08-03", "--days", "3")


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    spots = [spot(name, "pier", 50.1, -5.2, f'{keys}\nlight = "any"') for name, (keys, _) in FLOWS.items()]
    return written(tmp_path_factory.mktemp("flows"), head(), STATION, RACE, *spots)


def lines(text: str) -> str:
    """Text with its lines joined, so that a sentence can be looked for whatever the width."""
    return " ".join(text.split())


class TestCheck:
    def test_every_spot_names_its_flow_and_how_far_to_trust_it(self, shore):
        text = lines(done("check", shore))
        trust = {
            "measured current": "from a current station's own constants or differences",
            "basin outflow": "as good as the two areas",
            "inlet with friction": "watch one slack there before relying on it",
            "scaled fall": "right about that strength, rough elsewhere",
            "fall only": "no speed is known",
        }
        for name, (_, kind) in FLOWS.items():
            said = text.split(f" {name}: Spot {name} at ")[1].split(", tide of pier; ")[1]
            assert said.startswith(f"{kind} (")
            assert trust[kind] in said.split(")")[0]

    def test_what_the_numbers_come_to(self, shore):
        text = lines(done("check", shore))
        assert "current of race, 15 min behind it, 0.6 times as strong" in text
        # 5000 x 1 m x 2 pi / 12 h = 0.727 m/s
        knots = 5000.0 * 2.0 * pi / 43200.0 / KNOT
        assert (
            f"strongest on a mean ebb {knots:.1f} kn; the water turns 20 min after high and low water" in text
        )
        assert "strong ebb 1.1 kn; the water turns -10 min after high and low water" in text
        # 0.15 and 0.80 of 2 pi / 12 h, and not below twice 1.5 cm/h
        rate = 2.0 * pi / 12.0
        assert f"counts from {0.15 * rate:.2f} m/h, in full from {0.8 * rate:.2f} m/h" in text

    def test_an_inlets_answer_to_its_sea(self, shore):
        text = lines(done("check", shore))
        found = re.search(
            r"bay range (\S+) of the sea's, the water turns (\d+) min after high and (\d+) min after low "
            r"water, greatest ebb (\S+) kn",
            text.split(" repletion: ")[1],
        )
        assert found
        ratio, high, low, ebb = map(float, found.groups())
        # Keulegan's curve has 0.457 at 0.4, 0.639 at 0.6 (from memory); the coefficient is that of M2, whose
        # period is 1.035 of this tide's: 0.58 here. A bay turns where it meets the sea, so its range is the
        # cosine of its lag.
        assert ratio == pytest.approx(0.639 - 0.02 * 0.91, abs=0.01)
        assert high == pytest.approx(acos(ratio) / (2.0 * pi) * 720.0, abs=2)
        assert low == pytest.approx(high, abs=2)
        assert 0 < ebb < 5000.0 * 2.0 * pi / 43200.0 / KNOT

    def test_currents_of_every_kind(self, tmp_path):
        path = written(tmp_path, head(), STATION, RACE, ROADS, SOUND.format(flood=10))
        text = lines(done("check", path))
        assert "1 station, 3 currents, 0 spots" in text
        assert "race: Race; 1 constituents, mean flow +0.00 kn; flood 30, ebb 215 deg true." in text
        assert "roads: Roads; 1 and 1 constituents on two axes; flood counted towards 30 deg true." in text
        assert "sound: Sound; follows race by time differences and speed ratios; flood 40, ebb 220" in text

    def test_a_sea_that_stands(self, tmp_path):
        still = STATION.replace("amplitude = 1.0", "amplitude = 0.0")
        spots = [spot(name, "pier", 50.1, -5.2, keys) for name, (keys, _) in FLOWS.items()]
        path = written(tmp_path, head(), still, RACE, *spots)
        text = done("check", path)
        assert "nan" not in text
        assert "the sea outside hardly moves" in lines(text)
        for name in ("basin", "throat", "repletion", "strong", "fall"):
            assert rows("week", path, "--spot", name, *WEEK) == []

    @pytest.mark.parametrize(
        ("level", "words"), [(1.5, "bares and floods"), (0.9, "never bares"), (3.1, "lies above high water")]
    )
    def test_a_bank(self, tmp_path, level, words):
        bank = f'\n[[banks]]\nid = "flat"\nname = "Flat"\nstation = "pier"\nbare_below = {level}\n'
        path = written(tmp_path, head(), STATION, spot("wall", "pier", 50.1, -5.2), bank)
        assert f"bait from Flat, which {words} at {level:.2f} m" in lines(done("check", path))

    def test_a_greatest_speed_where_no_speed_is_known(self, tmp_path):
        keys = 'greatest_speed = 1.5\nlight = "any"\n'
        path = written(
            tmp_path,
            head(),
            STATION,
            RACE,
            spot("wall", "pier", 50.1, -5.2, keys),
            spot("point", "pier", 50.1, -5.2, keys + 'flow = { current = "race" }'),
        )
        text = lines(done("check", path))
        warning = "no speed is known here: the greatest speed can't shut the spot"
        assert text.count(warning) == 1
        assert text.count("points flow 95 + light 0 + moon 5, kept from 50") == 2
        assert warning in text.split(" wall: ")[1].split(" point: ")[0]
        found = rows("compare", path, *WEEK)
        assert {row["spot"] for row in found if warning in row["notes"]} == {"wall"}
        assert all(warning in row["notes"] for row in found if row["spot"] == "wall")

    def test_depths_and_a_dried_spot(self, tmp_path):
        path = written(tmp_path, head(), STATION, spot("bar", "pier", 50.1, -5.2, "depth_at_datum = -0.5"))
        assert "depth at datum -0.50 m; least depth 0.00 m" in lines(done("check", path))


class TestRows:
    def test_every_row_names_its_flow_and_fills_speed_or_fall(self, shore):
        found = rows("compare", shore, *WEEK)
        assert {row["spot"] for row in found} == set(FLOWS)
        for row in found:
            kind = FLOWS[row["spot"]][1]
            assert row["flow_kind"] == kind
            by_fall = kind == "fall only"
            assert (row["speed_peak_kn"] == "") == by_fall
            assert (row["fall_peak_m_per_h"] == "") != by_fall

    def test_json_names_it_in_the_header_and_the_rows(self, shore):
        found = document("compare", shore, *WEEK)
        assert {item["spot"]: item["flow_kind"] for item in found["spots"]} == {
            name: kind for name, (_, kind) in FLOWS.items()
        }
        assert {row["flow_kind"] for row in found["rows"]} == {kind for _, kind in FLOWS.values()}

    @pytest.mark.parametrize("name", FLOWS)
    def test_the_week_says_it(self, shore, name):
        text = lines(done("week", shore, "--spot", name, *WEEK))
        kind = FLOWS[name][1]
        assert f"Spot {name}: flow known by {kind}" in text
        verb = "water falls" if kind == "fall only" else "water runs out at"
        assert re.search(rf"{verb} [-\d., ]+ (kn|m/h) \({kind}\)", text)


class TestCompare:
    def test_what_each_is_worth_and_which_do_not_compare(self, shore):
        text = lines(done("compare", shore, *WEEK))
        assert "Spot throat, Spot repletion: inlet with friction, a bay level solved" in text
        others = ", ".join(f"Spot {name}" for name in FLOWS if name != "fall")
        assert f"Spot fall can't be compared with {others}." in text
        assert "Best of the spots with a speed: " in text
        best = text.split("Best of the spots known by their fall alone: ")[1].split(" points")[0]
        assert "at Spot fall" in best

    def test_spots_that_all_compare(self, shore, tmp_path):
        alike = [spot(name, "pier", 50.1, -5.2, FLOWS[name][0]) for name in ("basin", "strong")]
        text = lines(done("compare", written(tmp_path, head(), STATION, RACE, *alike), *WEEK))
        assert "can't be compared" not in text
        assert "Best: " in text

    def test_falls_alone_are_not_set_against_speeds(self, tmp_path):
        falls = [spot(name, "pier", 50.1, -5.2, "slack_lag = 5") for name in ("one", "two")]
        text = lines(done("compare", written(tmp_path, head(), STATION, *falls), *WEEK))
        assert "can't be compared" not in text
        assert "fall only, no speed is known: its points compare its own tides and light" in text


SWAPPED = """
[[stations]]
id = "cove"
name = "Cove"
reference = "pier"
high_water = {{ {high} }}
low_water = {{ {low} }}
"""


class TestDifferencesThatSwap:
    @pytest.mark.parametrize(
        ("high", "low", "words"),
        [
            ("minutes = 400", "", ("high water", "after the low water that follows it")),
            ("minutes = 0", "minutes = -400", ("high water", "after the low water that follows it")),
            ("", "minutes = 400", ("low water", "after the high water that follows it")),
            ("factor = 0.2", "factor = 2", ("high water", "below the low water that follows it")),
            ("offset = -3", "", ("water", "the differences put the")),
        ],
    )
    def test_high_and_low_water(self, tmp_path, high, low, words):
        path = written(tmp_path, head(), STATION, SWAPPED.format(high=high, low=low))
        text = lines(refused(1, "check", path))
        assert "shore.toml: 1 problem" in text
        assert "stations[1]: found the differences put the" in text
        assert "expected differences that keep high and low waters, slacks and maxima in order" in text
        for word in words:
            assert word in text

    def test_slack_and_flood(self, tmp_path):
        path = written(tmp_path, head(), STATION, RACE, SOUND.format(flood=300))
        text = lines(refused(1, "check", path))
        assert "currents[1]: found the differences put the flood of" in text
        assert "after the slack before ebb that follows it" in text

    @pytest.mark.parametrize("command", ["week", "best", "compare", "tides", "levels", "currents", "sky"])
    def test_every_command_refuses_alike(self, tmp_path, command):
        wrong = SWAPPED.format(high="minutes = 500", low="")
        path = written(
            tmp_path, head(), STATION, RACE, wrong, SOUND.format(flood=300), spot("wall", "pier", 50.1, -5.2)
        )
        assert refused(1, command, path) == refused(1, "check", path)

    def test_both_at_once_and_good_ones_pass(self, tmp_path):
        wrong = SWAPPED.format(high="minutes = 400", low="")
        path = written(tmp_path, head(), STATION, RACE, wrong, SOUND.format(flood=300))
        assert "2 problems" in refused(1, "check", path)
        fine = SWAPPED.format(high="minutes = 40", low="minutes = 55, factor = 0.9")
        path = written(tmp_path, head(), STATION, RACE, fine, SOUND.format(flood=30))
        assert "no problems found" in done("check", path)


class TestWrongInput:
    @pytest.mark.parametrize(
        ("flow", "words"),
        [
            (
                'flow = { current = "race", strong_ebb = 1 }',
                "spots[0].flow: found flow given 2 ways: current, strong_ebb; expected one of:",
            ),
            (
                "flow = { basin_area_m2 = 0, opening_area_m2 = 9 }",
                "spots[0].flow.basin_area_m2: found 0; expected square metres above 0",
            ),
            (
                'flow = { current = "race", factor = -1 }',
                "spots[0].flow.factor: found -1; expected a factor above 0, at most 10",
            ),
            ("slack_lag = 1440", "spots[0].slack_lag: found 1440; expected minutes from -360 to 360"),
            (
                'flow = { current = "rip" }',
                "spots[0].flow.current: found 'rip'; expected the id of one of [[currents]] (race)",
            ),
        ],
    )
    @pytest.mark.parametrize("command", ["check", "week", "currents"])
    def test_a_flow(self, tmp_path, command, flow, words):
        path = written(tmp_path, head(), STATION, RACE, spot("wall", "pier", 50.1, -5.2, flow))
        text = lines(refused(1, command, path))
        assert f"{path.name}: 1 problem" in text
        assert words in text

    def test_a_direction_of_400_and_the_rest_at_once(self, tmp_path):
        path = written(
            tmp_path,
            head(),
            STATION,
            RACE.replace("= 215", "= 400"),
            ROADS.replace("across_direction = 90", "across_direction = 70"),
            SOUND.format(flood=10).replace('"race"', '"roads"'),
            spot("wall", "pier", 50.1, -5.2, "slack_lag = 5\nflow = { current = 'sound', delay = 900 }"),
        )
        text = refused(1, "week", path)
        where = [line.split(": found")[0].strip() for line in text.splitlines() if ": found" in line]
        assert where[:2] == ["currents[0].ebb_direction", "currents[1].across_direction"]
        assert {"spots[0].flow.delay", "spots[0].slack_lag"} <= set(where)
        assert "found 400; expected degrees true from 0 to 360" in text

    def test_a_follower_of_a_current_on_two_axes(self, tmp_path):
        path = written(tmp_path, head(), STATION, ROADS, SOUND.format(flood=10).replace('"race"', '"roads"'))
        text = lines(refused(1, "currents", path))
        assert "currents[1].reference: found 'roads', a current on two axes" in text
        assert "expected a current along one flood axis" in text
