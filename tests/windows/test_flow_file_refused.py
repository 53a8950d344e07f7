"""The [spots.flow] table told wrong, and everything wrong told at once."""

from functools import partial

import pytest

from tests.windows.conftest import one_spot, spot_text
from tests.windows.told import CURRENT, TIDE, bank, problems_of


@pytest.fixture
def problems(tmp_path):
    return partial(problems_of, tmp_path)


INLET = "basin_area_m2 = 3e6, opening_area_m2 = 90"


class TestRefused:
    @pytest.mark.parametrize(
        ("flow", "where", "found", "expected"),
        [
            ("basin_area_m2 = 0, opening_area_m2 = 90", "basin_area_m2", "0", "square metres above 0"),
            ("basin_area_m2 = 3e6, opening_area_m2 = 0", "opening_area_m2", "0", "square metres above 0"),
            ("basin_area_m2 = 3e6, opening_area_m2 = -4", "opening_area_m2", "-4", "square metres above 0"),
            (
                "basin_area_m2 = 3e6",
                "opening_area_m2",
                "nothing (the key is missing)",
                "square metres above 0",
            ),
            (
                "opening_area_m2 = 90",
                "basin_area_m2",
                "nothing (the key is missing)",
                "square metres above 0",
            ),
            ('current = "race", factor = -0.5', "factor", "-0.5", "a factor above 0"),
            ('current = "race", factor = 0', "factor", "0", "a factor above 0"),
            ('current = "race", factor = nan', "factor", "nan", "a factor above 0"),
            ('current = "race", delay = 1440', "delay", "1440", "minutes from -360 to 360"),
            ('current = "rip"', "current", "'rip'", "the id of one of [[currents]] (race)"),
            ('current = "gauge"', "current", "'gauge'", "the id of one of [[currents]] (race)"),
            ("strong_ebb = 0", "strong_ebb", "0", "knots above 0"),
            ("strong_ebb = inf", "strong_ebb", "inf", "knots above 0"),
            ('strong_ebb = "2 kn"', "strong_ebb", "'2 kn'", "knots above 0"),
            (
                "strong_ebb = 1, delay = 10",
                "delay",
                "a key that does not go with strong_ebb",
                "one of: current",
            ),
            (
                "strong_ebb = 1, factor = 2",
                "factor",
                "a key that does not go with strong_ebb",
                "one of: current",
            ),
            (
                'current = "race", repletion = 1',
                "repletion",
                "a key that does not go with current",
                "one of: current",
            ),
            (
                f"{INLET}, delay = 5",
                "delay",
                "a key that does not go with basin and opening",
                "one of: current",
            ),
            (
                f"{INLET}, throat_length_m = 300",
                "hydraulic_radius_m",
                "nothing (the key is missing)",
                "metres above 0",
            ),
            (
                f"{INLET}, hydraulic_radius_m = 2",
                "throat_length_m",
                "nothing (the key is missing)",
                "metres above 0",
            ),
            (f"{INLET}, repletion = 0", "repletion", "0", "Keulegan's coefficient from 0.05 to 100"),
            (
                f"{INLET}, throat_length_m = 300, hydraulic_radius_m = 2, friction = 0",
                "friction",
                "0",
                "Darcy's f from 0.001 to 1",
            ),
            ("strongebb = 1", "strongebb", "an unknown key", "'strong_ebb'?"),
        ],
    )
    def test_one_key_found_and_expected(self, problems, flow, where, found, expected):
        (line,) = problems(one_spot(TIDE, f"flow = {{ {flow} }}") + CURRENT)
        assert line.startswith(f"spots[0].flow.{where}: found {found}; expected {expected}"), line

    def test_a_current_in_a_file_without_currents(self, problems):
        (found,) = problems(one_spot(TIDE, 'flow = { current = "race" }'))
        assert found.endswith("expected the id of one of [[currents]] (this file has none)")

    @pytest.mark.parametrize(
        "flow",
        [
            'current = "race"',
            f"{INLET}, repletion = 0.5",
            f"{INLET}, throat_length_m = 300, hydraulic_radius_m = 2",
        ],
    )
    def test_a_slack_lag_beside_a_flow_that_turns_by_itself(self, problems, flow):
        (found,) = problems(one_spot(TIDE, f"slack_lag = 20\nflow = {{ {flow} }}") + CURRENT)
        assert found == (
            "spots[0].slack_lag: found 20 beside a flow that has its own time of turning; "
            "expected no slack_lag there"
        )

    @pytest.mark.parametrize(
        ("keys", "where", "found", "expected"),
        [
            ("slack_lag = 1440", "slack_lag", "1440", "minutes from -360 to 360"),
            (
                "least_depth = 2",
                "depth_at_datum",
                "nothing (the key is missing)",
                "the depth with the level at datum",
            ),
            (
                "greatest_depth = 2",
                "depth_at_datum",
                "nothing (the key is missing)",
                "the depth with the level at datum",
            ),
            ("depth_at_datum = 3\nleast_depth = -2", "least_depth", "-2", "a depth of 0 or more"),
            (
                "depth_at_datum = 3\nleast_depth = 4\ngreatest_depth = 4",
                "greatest_depth",
                "4",
                "more than least_depth, 4",
            ),
            ('bank = "reef"', "bank", "'reef'", "the id of one of [[banks]] (flat)"),
            ("bank_away = -5", "bank_away", "-5", "minutes from 0 to 720"),
            ('heaviest_lead = "heavy"', "heaviest_lead", "'heavy'", 'a weight such as "8oz" or "230g"'),
            ('heaviest_lead = "0oz"', "heaviest_lead", "'0oz'", 'a weight such as "8oz" or "230g"'),
            ('heaviest_lead = "3000g"', "heaviest_lead", "'3000g'", 'a weight such as "8oz" or "230g"'),
            ("heaviest_lead = 8", "heaviest_lead", "8", 'a weight such as "8oz" or "230g"'),
            ('sinker = "grapnel"', "sinker", "'grapnel'", '"bank", "egg" or "pyramid"'),
            ("line_diameter_mm = 0", "line_diameter_mm", "0", "millimetres from 0.05 to 3"),
            ("greatest_speed = -1", "greatest_speed", "-1", "knots from 0 to 20"),
        ],
    )
    def test_a_key_of_the_spot(self, problems, keys, where, found, expected):
        (line,) = problems(one_spot(TIDE, keys) + bank())
        assert line.startswith(f"spots[0].{where}: found {found}; expected {expected}"), line

    @pytest.mark.parametrize(
        ("old", "new", "where", "expected"),
        [
            ("bare_below = 0.9", "bare_below = nan", "bare_below", "a height above datum from -100 to 100"),
            ("bare_below = 0.9", "", "bare_below", "a height above datum from -100 to 100"),
            (
                'station = "gauge"\nbare',
                'station = "reef"\nbare',
                "station",
                "the id of one of [[stations]] (gauge)",
            ),
            ('id = "flat"', 'id = "a flat"', "id", "1 to 64 letters"),
            ("bare_below = 0.9", "bare_below = 0.9\nwarm_only = 1", "warm_only", "true or false"),
            (
                "bare_below = 0.9",
                'bare_below = 0.9\nbait = "eel"',
                "bait",
                '"crab", "worm", "shrimp" or "other"',
            ),
            ("bare_below = 0.9", 'bait = "worm"', "bare_below", "a height above datum from -100 to 100"),
            (
                "bare_below = 0.9",
                'bare_below = 0.9\nbait = "shrimp"',
                "bare_below",
                'no level beside bait = "shrimp"',
            ),
            (
                "bare_below = 0.9",
                'bare_below = 0.9\nbait = "worm"\nwarm_only = true',
                "warm_only",
                'no such rule beside bait = "worm"',
            ),
        ],
    )
    def test_a_bank(self, problems, old, new, where, expected):
        (line,) = problems(one_spot(TIDE) + bank().replace(old, new))
        assert line.startswith(f"banks[0].{where}: found ")
        assert f"; expected {expected}" in line

    def test_two_banks_of_one_id(self, problems):
        (line,) = problems(one_spot(TIDE) + bank() + bank())
        assert line == "banks[1].id: found 'flat' a second time; expected an id of its own"


class TestAllAtOnce:
    def test_across_spots_banks_and_currents(self, problems):
        text = (
            one_spot(TIDE, "flow = { basin_area_m2 = 0, opening_area_m2 = 90 }")
            + spot_text('flow = { current = "rip", strong_ebb = 1 }', "second")
            + spot_text('slack_lag = 5\nflow = { current = "race", repletion = 2 }', "third")
            + bank().replace("gauge", "reef")
            + CURRENT.replace("= 215", "= 400")
        )
        where = sorted(line.split(": found")[0] for line in problems(text))
        assert where == [
            "banks[0].station",
            "currents[0].ebb_direction",
            "spots[0].flow.basin_area_m2",
            "spots[1].flow",
            "spots[2].flow.repletion",
            "spots[2].slack_lag",
        ]

    def test_within_one_spot(self, problems):
        keys = (
            'slack_lag = 1440\nbank = "reef"\nheaviest_lead = "heavy"\nleast_depth = 2\n'
            'flow = { current = "rip", factor = -1 }'
        )
        text = (
            one_spot(TIDE, keys).replace('station = "gauge"', 'station = "buoy"')
            + CURRENT
            + bank().replace('station = "buoy"', 'station = "gauge"')
        )
        where = sorted(line.split(": found")[0] for line in problems(text))
        assert where == [
            "spots[0].bank",
            "spots[0].depth_at_datum",
            "spots[0].flow.current",
            "spots[0].flow.factor",
            "spots[0].heaviest_lead",
            "spots[0].slack_lag",
            "spots[0].station",
        ]
