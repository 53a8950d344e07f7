"""[spots.flow], depth, banks and tackle in a file: what each comes to inside, and what is refused."""

from functools import partial

import pytest

from harmonics.stations.inlet import friction_losses
from tests.windows.conftest import KNOT, one_spot, spot_text
from tests.windows.told import CURRENT, TIDE, bank, problems_of
from windows.shoreline.gates import GreatestDepth, LeastDepth
from windows.shoreline.spots import BasinSource, CurrentSource, InletSource, ScaledSource
from windows.shoreline.tackle import SinkerKind

FOOT = 0.3048


@pytest.fixture
def problems(tmp_path):
    return partial(problems_of, tmp_path)


def in_feet(text):
    return text.replace('\nunits = "metres"', '\nunits = "feet"', 1)


WAYS = {
    "current": 'current = "race"',
    "basin and opening": "basin_area_m2 = 3e6\nopening_area_m2 = 90",
    "strong_ebb": "strong_ebb = 1.2",
}


class TestTaken:
    def test_a_current(self, shore):
        made = shore(one_spot(TIDE, 'flow = { current = "race", delay = -12, factor = 0.6 }') + CURRENT)
        source = made.spots[0].flow
        assert isinstance(source, CurrentSource)
        assert source.station is made.currents[0]
        assert (source.delay, source.factor) == (-720.0, 0.6)
        plain = shore(one_spot(TIDE, 'flow = { current = "race" }') + CURRENT).spots[0].flow
        assert (plain.delay, plain.factor) == (0.0, 1.0)

    def test_a_table_of_its_own_is_the_same(self, shore):
        text = one_spot(TIDE) + '\n[spots.flow]\ncurrent = "race"\nfactor = 0.6\n' + CURRENT
        assert shore(text).spots[0].flow.factor == 0.6

    def test_a_basin(self, shore):
        keys = "slack_lag = 25\nflow = { basin_area_m2 = 800_000, opening_area_m2 = 40 }"
        for text in (one_spot(TIDE, keys), in_feet(one_spot(TIDE, keys))):
            spot = shore(text).spots[0]
            assert spot.flow == BasinSource(800_000.0, 40.0)
            assert spot.slack_lag == 1500.0

    @pytest.mark.parametrize(("friction", "value"), [("", 0.03), ("friction = 0.05\n", 0.05)])
    def test_an_inlet_by_its_throat(self, shore, friction, value):
        flow = (
            "\n[spots.flow]\nbasin_area_m2 = 3e6\nopening_area_m2 = 90\n"
            f"throat_length_m = 600\nhydraulic_radius_m = 2.5\n{friction}"
        )
        source = shore(one_spot(TIDE) + flow).spots[0].flow
        assert isinstance(source, InletSource)
        # entrance 0.2 + exit 1 + f L / 4 R
        assert source.losses == pytest.approx(1.2 + value * 600.0 / 10.0)
        assert source.losses == friction_losses(600.0, 2.5, value)
        assert source.repletion is None

    def test_an_inlet_by_its_coefficient(self, shore):
        keys = "flow = { basin_area_m2 = 3e6, opening_area_m2 = 90, repletion = 0.7 }"
        assert shore(one_spot(TIDE, keys)).spots[0].flow == InletSource(3e6, 90.0, None, 0.7)

    def test_a_strong_ebb_in_knots(self, shore):
        assert shore(one_spot(TIDE, "flow = { strong_ebb = 1.4 }")).spots[0].flow == ScaledSource(1.4 * KNOT)

    def test_none(self, shore):
        assert shore(one_spot(TIDE)).spots[0].flow is None

    def test_depths_are_in_the_files_unit(self, shore):
        keys = "depth_at_datum = 12\nleast_depth = 6\ngreatest_depth = 20"
        spot = shore(in_feet(one_spot(TIDE, keys))).spots[0]
        found = (spot.depth_at_datum, spot.limit(LeastDepth), spot.limit(GreatestDepth))
        assert found == pytest.approx((12 * FOOT, 6 * FOOT, 20 * FOOT))
        drying = shore(one_spot(TIDE, "depth_at_datum = -1.5")).spots[0]
        assert drying.depth_at_datum == -1.5

    def test_the_only_bank_serves_every_spot(self, shore):
        text = in_feet(one_spot(TIDE) + spot_text("bank_away = 45", "other")) + bank(level=3)
        made = shore(text)
        assert [spot.bank.id for spot in made.spots] == ["flat", "flat"]
        assert made.spots[0].bank.level == pytest.approx(3 * FOOT)
        assert made.spots[0].bank.warm_only
        assert [spot.bank_away for spot in made.spots] == [1800.0, 2700.0]

    def test_of_several_banks_a_spot_has_the_one_it_names(self, shore):
        text = (
            one_spot(TIDE)
            + spot_text('bank = "bar"', "other")
            + bank("flat")
            + bank("bar", 0.4, "warm_only = false")
        )
        made = shore(text)
        assert made.spots[0].bank is None
        assert (made.spots[1].bank.id, made.spots[1].bank.warm_only) == ("bar", False)

    def test_tackle_of_the_file_and_of_a_spot(self, shore):
        fishing = '[fishing]\nheaviest_lead = "8oz"\nsinker = "pyramid"\nline_diameter_mm = 0.4\n'
        text = one_spot(TIDE) + spot_text('heaviest_lead = "230 g"\nsinker = "egg"', "other") + fishing
        first, second = (spot.preferences.tackle for spot in shore(text).spots)
        assert first.heaviest_lead == pytest.approx(8 * 0.028349523125)
        assert (first.sinker, first.line_diameter) == (SinkerKind.PYRAMID, pytest.approx(0.0004))
        assert second.heaviest_lead == pytest.approx(0.230)
        # the line is the file's still; egg and bank sinkers grip alike
        assert (second.sinker, second.line_diameter) == (SinkerKind.EGG, pytest.approx(0.0004))


class TestGivenTwice:
    @pytest.mark.parametrize(
        ("first", "second"),
        [("current", "basin and opening"), ("current", "strong_ebb"), ("basin and opening", "strong_ebb")],
    )
    def test_two_ways(self, problems, first, second):
        flow = f"\n[spots.flow]\n{WAYS[first]}\n{WAYS[second]}\n"
        (found,) = problems(one_spot(TIDE) + flow + CURRENT)
        assert found.startswith(
            f"spots[0].flow: found flow given 2 ways: {first}, {second}; expected one of: "
        )

    def test_three_ways(self, problems):
        (found,) = problems(one_spot(TIDE) + "\n[spots.flow]\n" + "\n".join(WAYS.values()) + "\n" + CURRENT)
        assert "flow given 3 ways" in found

    @pytest.mark.parametrize(
        "flow", ["", "delay = 10", "throat_length_m = 300", "repletion = 0.5", "factor = 0.7"]
    )
    def test_no_way(self, problems, flow):
        (found,) = problems(one_spot(TIDE, f"flow = {{ {flow} }}"))
        assert found.startswith("spots[0].flow: found no way to know the flow; expected one of: current")

    def test_a_line_and_a_table(self, problems):
        (found,) = problems(one_spot(TIDE, "flow = { strong_ebb = 1 }") + "\n[spots.flow]\nstrong_ebb = 2\n")
        assert "not TOML" in found
        assert "flow" in found

    def test_a_list_of_flows(self, problems):
        (found,) = problems(one_spot(TIDE) + "\n[[spots.flow]]\nstrong_ebb = 2\n")
        assert found == "spots[0].flow: found a list of 1; expected a table [spots.flow]"

    def test_friction_by_throat_and_by_coefficient(self, problems):
        keys = (
            "flow = { basin_area_m2 = 3e6, opening_area_m2 = 90, throat_length_m = 300, "
            "hydraulic_radius_m = 2, repletion = 0.5 }"
        )
        (found,) = problems(one_spot(TIDE, keys))
        assert found == (
            "spots[0].flow.repletion: found friction given twice; "
            "expected either the throat's measures or the coefficient"
        )
