"""Currents told in a file: on one axis, on two, and by differences; and what is refused."""

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.station_file import read_station_file
from harmonics.stations.components import set_and_drift, tidal_ellipses
from harmonics.stations.currents import CurrentKind, current_events, currents_at
from harmonics.stations.types import CurrentStation, SecondaryCurrentStation, TwoComponentStation
from harmonics.sums.waves import NodePractice
from harmonics.units import METRES_PER_SECOND_PER_KNOT as KNOT
from tests.harmonics.conftest import utc

HEAD = 'title = "Shore"\ntime_zone = "UTC"\nunits = "feet"\n'
RACE = """
[[currents]]
id = "race"
name = "Race"
latitude = 50.0
longitude = -2.0
flood_direction = 40
ebb_direction = 215
mean_flow = -0.25
constituents = [{ name = "S2", amplitude = 2.0, phase = 60.0 }]
"""
ROADS = """
[[currents]]
id = "roads"
name = "Roads"
latitude = 50.0
longitude = -2.0
flood_direction = 30
axis_direction = 0
across_direction = 90
mean_flow = 0.2
mean_across = -0.1
constituents = [{ name = "S2", amplitude = 1.0, phase = 0.0 }]
constituents_across = [{ name = "S2", amplitude = 0.6, phase = 90.0 }]
"""
SOUND = """
[[currents]]
id = "sound"
name = "Sound"
reference = "race"
flood_direction = 50
ebb_direction = 230
slack_before_flood = -10
flood = 5
slack_before_ebb = 20
ebb = 35
flood_ratio = 0.5
ebb_ratio = 0.8
"""


@pytest.fixture
def currents(tmp_path):
    """The currents of a file of these parts."""

    def read(*parts):
        path = tmp_path / "shore.toml"
        path.write_text(HEAD + "".join(parts), encoding="utf-8")
        return read_station_file(path).currents

    return read


@pytest.fixture
def problems(tmp_path):
    """The problems of a file of these parts, as lines."""

    def read(*parts):
        path = tmp_path / "shore.toml"
        path.write_text(HEAD + "".join(parts), encoding="utf-8")
        with pytest.raises(FileProblemsError) as caught:
            read_station_file(path)
        return [str(problem) for problem in caught.value.problems]

    return read


class TestKeys:
    def test_every_key_has_its_place(self, currents):
        race, roads, sound = currents(RACE, ROADS, SOUND)
        assert (race.id, race.name, race.latitude, race.longitude) == ("race", "Race", 50.0, -2.0)
        assert (race.flood_direction, race.ebb_direction) == (40.0, 215.0)
        assert race.mean_flow == pytest.approx(-0.25 * KNOT)
        assert (roads.id, roads.name, roads.latitude, roads.longitude) == ("roads", "Roads", 50.0, -2.0)
        assert (roads.flood_direction, roads.axis_direction, roads.across_direction) == (30.0, 0.0, 90.0)
        assert (roads.mean_along, roads.mean_across) == pytest.approx((0.2 * KNOT, -0.1 * KNOT))
        assert (sound.id, sound.name, sound.latitude, sound.longitude) == ("sound", "Sound", None, None)
        assert (sound.flood_direction, sound.ebb_direction, sound.reference) == (50.0, 230.0, race)
        times = sound.differences
        assert (times.slack_before_flood, times.flood, times.slack_before_ebb, times.ebb) == (
            -600.0, 300.0, 1200.0, 2100.0,
        )  # fmt: skip
        assert (times.flood_ratio, times.ebb_ratio) == (0.5, 0.8)

    def test_a_name_left_out_is_the_id(self, currents):
        unnamed = (RACE.replace('name = "Race"\n', ""), ROADS.replace('name = "Roads"\n', ""))
        assert [item.name for item in currents(*unnamed)] == ["race", "roads"]

    def test_node_practice_of_the_file_or_their_own(self, currents):
        both = NodePractice.YEARLY, NodePractice.CONTINUOUS
        for given, other in (both, both[::-1]):
            head, own = f'node_factors = "{given}"\n', f'node_factors = "{other}"\n'
            assert [item.practice for item in currents(head, RACE, ROADS)] == [given, given]
            assert [item.practice for item in currents(head, RACE + own, ROADS + own)] == [other, other]
        assert [item.practice for item in currents(RACE, ROADS)] == [NodePractice.YEARLY] * 2


class TestOneAxis:
    def test_knots_whatever_the_files_unit_of_heights(self, currents):
        (race,) = currents(RACE)
        assert isinstance(race, CurrentStation)
        # highest at 60 / 30 = 2 h UTC
        speed = currents_at(race, utc("2026-03-01 02:00") + 21600.0 * np.arange(2)) / KNOT
        assert speed == pytest.approx([1.75, -2.25], abs=1e-4)

    def test_local_phases_are_the_same_current(self, currents):
        local = RACE.replace('"race"', '"told"').replace("phase = 60.0", "phase = 240.0")
        race, told = currents(RACE, local + 'phase = "local"\nutc_offset = -6\n')
        # G = g - speed x offset: 240 + 30 x 6 = 420, or 60
        t = utc("2026-03-01 00:00") + 1234.5 * np.arange(100)
        assert currents_at(told, t) == pytest.approx(currents_at(race, t), abs=1e-9)


class TestTwoAxes:
    def test_set_and_drift_by_hand(self, currents):
        (roads,) = currents(ROADS)
        assert isinstance(roads, TwoComponentStation)
        t = utc("2026-03-01 00:00") + 1800.0 * np.arange(48)
        angle = np.radians(30.0 * (t - t[0]) / 3600.0)
        north, east = 0.2 + np.cos(angle), -0.1 + 0.6 * np.sin(angle)
        towards, drift = set_and_drift(roads, t)
        assert drift / KNOT == pytest.approx(np.hypot(north, east), abs=1e-6)
        off = (towards - np.degrees(np.arctan2(east, north)) + 180.0) % 360.0 - 180.0
        assert np.abs(off).max() < 1e-3
        along = north * np.cos(np.radians(30.0)) + east * np.sin(np.radians(30.0))
        assert currents_at(roads, t) / KNOT == pytest.approx(along, abs=1e-6)

    def test_floods_and_ebbs_by_hand(self, currents):
        (roads,) = currents(ROADS)
        events = current_events(roads, utc("2026-03-01 00:00"), utc("2026-03-02 00:00"))
        # cos(a) cos 30 + 0.6 sin(a) sin 30 is greatest where tan a = 0.6 tan 30
        peak = np.degrees(np.arctan(0.6 * np.tan(np.radians(30.0)))) / 30.0
        height = np.hypot(np.cos(np.radians(30.0)), 0.6 * np.sin(np.radians(30.0)))
        mean = 0.2 * np.cos(np.radians(30.0)) - 0.1 * np.sin(np.radians(30.0))
        found = {kind: (t, v) for t, v, kind in zip(events.t, events.speed / KNOT, events.kind, strict=True)}
        flood, ebb = found[CurrentKind.FLOOD], found[CurrentKind.EBB]
        assert flood[0] % 43200.0 / 3600.0 == pytest.approx(peak, abs=0.01)
        assert ebb[0] % 43200.0 / 3600.0 == pytest.approx(peak + 6.0, abs=0.01)
        assert flood[1] == pytest.approx(mean + height, abs=1e-4)
        assert ebb[1] == pytest.approx(mean - height, abs=1e-4)
        runs = ~np.isnan(events.direction)
        assert events.direction[runs] == pytest.approx(set_and_drift(roads, events.t[runs])[0])

    def test_an_ellipse_from_the_file(self, currents):
        _, ellipse = tidal_ellipses(currents(ROADS)[0])
        assert ellipse.semi_major / KNOT == pytest.approx([1.0])
        # north first, then east: the vector turns clockwise
        assert ellipse.semi_minor / KNOT == pytest.approx([-0.6])

    def test_major_and_minor_axes_across_to_the_left(self, currents):
        # the same water on axes 120 and 30: along = -0.5 north + sqrt(3)/2 east, across = the other
        turned = ROADS.replace("axis_direction = 0", "axis_direction = 120")
        turned = turned.replace("across_direction = 90", "across_direction = 30").replace(
            '"roads"', '"turned"'
        )
        north, east = 1.0 + 0j, 0.6 * np.exp(-1j * np.radians(90.0))
        axes = [np.radians(120.0), np.radians(30.0)]
        waves = [north * np.cos(a) + east * np.sin(a) for a in axes]
        means = [0.2 * np.cos(a) - 0.1 * np.sin(a) for a in axes]
        listed = [
            f'{{ name = "S2", amplitude = {abs(w)}, phase = {-np.degrees(np.angle(w)) % 360.0} }}'
            for w in waves
        ]
        turned = turned.replace('{ name = "S2", amplitude = 1.0, phase = 0.0 }', listed[0])
        turned = turned.replace('{ name = "S2", amplitude = 0.6, phase = 90.0 }', listed[1])
        turned = turned.replace("mean_flow = 0.2", f"mean_flow = {means[0]}")
        turned = turned.replace("mean_across = -0.1", f"mean_across = {means[1]}")
        roads, other = currents(ROADS, turned)
        t = utc("2026-03-01 00:00") + 777.0 * np.arange(200)
        for here, there in zip(set_and_drift(roads, t), set_and_drift(other, t), strict=True):
            assert here == pytest.approx(there, abs=1e-6)

    def test_local_phases_count_on_both_axes(self, currents):
        local = ROADS.replace('"roads"', '"told"').replace("phase = 0.0", "phase = 180.0")
        local = local.replace("phase = 90.0", "phase = 270.0") + 'phase = "local"\nutc_offset = 6\n'
        roads, told = currents(ROADS, local)
        t = utc("2026-03-01 00:00") + 1234.5 * np.arange(100)
        for here, there in zip(set_and_drift(roads, t), set_and_drift(told, t), strict=True):
            assert here == pytest.approx(there, abs=1e-6)

    def test_an_across_table_beside_the_file(self, currents, tmp_path):
        (tmp_path / "across.csv").write_text("name,amplitude,phase\nS2,0.6,90\n", encoding="utf-8")
        listed = '[{ name = "S2", amplitude = 0.6, phase = 90.0 }]'
        roads, other = currents(ROADS, ROADS.replace(listed, '"across.csv"').replace('"roads"', '"other"'))
        t = utc("2026-03-01 00:00") + 777.0 * np.arange(50)
        assert set_and_drift(roads, t)[0] == pytest.approx(set_and_drift(other, t)[0])


class TestSecondary:
    def test_four_differences_and_two_ratios_on_the_total(self, currents):
        race, sound = currents(RACE, SOUND)
        assert isinstance(sound, SecondaryCurrentStation)
        start = utc("2026-03-01 00:00")
        source = current_events(race, start, start + 86400.0)
        here = current_events(sound, start - 3600.0, start + 90000.0)
        minutes = {"slack_before_flood": -10, "flood": 5, "slack_before_ebb": 20, "ebb": 35}
        ratio = {"flood": 0.5, "ebb": 0.8}
        assert {kind.value for kind in source.kind} == set(minutes)
        for t, speed, kind in zip(source.t, source.speed, source.kind, strict=True):
            i = int(np.abs(here.t - t - 60.0 * minutes[kind.value]).argmin())
            assert here.t[i] == pytest.approx(t + 60.0 * minutes[kind.value], abs=0.5)
            assert here.kind[i] is kind
            assert here.speed[i] == pytest.approx(speed * ratio.get(kind.value, 0.0), abs=1e-6)
        assert max(source.speed) / KNOT == pytest.approx(1.75, abs=1e-3)

    def test_it_may_stand_before_its_reference(self, currents):
        assert [item.id for item in currents(SOUND, RACE)] == ["sound", "race"]


class TestRefused:
    def test_axes_not_at_right_angles(self, problems):
        (found,) = problems(ROADS.replace("across_direction = 90", "across_direction = 80"))
        assert found == (
            "currents[0].across_direction: found 80 beside axis_direction 0; "
            "expected a direction at right angles to axis_direction"
        )

    def test_a_reference_on_two_axes(self, problems):
        (found,) = problems(ROADS, SOUND.replace('"race"', '"roads"'))
        assert found == (
            "currents[1].reference: found 'roads', a current on two axes; "
            "expected a current along one flood axis"
        )

    def test_a_reference_that_is_none_or_follows_itself(self, problems):
        (found,) = problems(RACE, SOUND.replace('"race"', '"rip"'))
        assert found.startswith("currents[1].reference: found 'rip'; expected the id of one of [[currents]]")
        assert "race" in found
        (found,) = problems(RACE, SOUND.replace('"race"', '"sound"'))
        assert found.startswith("currents[1].reference: found 'sound'")

    def test_a_tide_station_is_no_current(self, problems):
        tide = """
[[stations]]
id = "port"
name = "Port"
latitude = 50.0
longitude = -2.0
datum = "MLLW"
mean_level = 2.0
length_unit = "metres"
constituents = [{ name = "S2", amplitude = 2.0, phase = 60.0 }]
"""
        (found,) = problems(tide, SOUND.replace('"race"', '"port"'))
        assert found.startswith("currents[0].reference: found 'port'; expected the id of one of [[currents]]")

    @pytest.mark.parametrize(
        ("text", "old", "new", "where", "expected"),
        [
            (
                RACE,
                "flood_direction = 40",
                "flood_direction = 400",
                "flood_direction",
                "degrees true from 0 to 360",
            ),
            (
                RACE,
                "ebb_direction = 215",
                "ebb_direction = -5",
                "ebb_direction",
                "degrees true from 0 to 360",
            ),
            (RACE, "ebb_direction = 215", "", "ebb_direction", "degrees true from 0 to 360"),
            (RACE, "mean_flow = -0.25", "mean_flow = 25", "mean_flow", "knots from -20 to 20"),
            (RACE, "mean_flow = -0.25", "flood = 5", "flood", "an unknown key"),
            (ROADS, "axis_direction = 0", "", "axis_direction", "degrees true from 0 to 360"),
            (ROADS, "mean_across = -0.1", "ebb_direction = 210", "ebb_direction", "an unknown key"),
            (ROADS, "amplitude = 0.6", "amplitude = -0.6", "constituents_across[0].amplitude", "from 0"),
            (ROADS, '"S2", amplitude = 0.6', '"S22", amplitude = 0.6', "constituents_across[0].name", "S2"),
        ],
    )
    def test_one_key_found_and_expected(self, problems, text, old, new, where, expected):
        assert old in text
        (found,) = problems(text.replace(old, new))
        assert found.startswith(f"currents[0].{where}: found ")
        assert expected in found

    @pytest.mark.parametrize(
        ("old", "new", "where", "expected"),
        [
            ("flood_ratio = 0.5", "flood_ratio = -0.5", "flood_ratio", "a factor above 0"),
            ("ebb_ratio = 0.8", "ebb_ratio = 0", "ebb_ratio", "a factor above 0"),
            ("flood = 5", "flood = 1440", "flood", "minutes from -720 to 720"),
            ("ebb = 35", "mean_flow = 0.1", "mean_flow", "an unknown key"),
        ],
    )
    def test_a_difference(self, problems, old, new, where, expected):
        (found,) = problems(RACE, SOUND.replace(old, new))
        assert found.startswith(f"currents[1].{where}: found ")
        assert expected in found

    def test_differences_that_swap_two_events(self, problems):
        (found,) = problems(RACE, SOUND.replace("flood = 5", "flood = 300"))
        assert found.startswith("currents[1]: found the differences put the flood of 2020-03-01T")
        assert found.endswith(
            "UTC at the reference after the slack before ebb that follows it; expected differences that keep "
            "high and low waters, slacks and maxima in order"
        )

    def test_all_at_once(self, problems):
        found = problems(
            RACE.replace("= 215", "= 400"),
            ROADS.replace("across_direction = 90", "across_direction = 45"),
            SOUND.replace('"race"', '"rip"').replace("ebb_ratio = 0.8", "ebb_ratio = -1"),
        )
        where = [line.split(":")[0] for line in found]
        assert sorted(where) == [
            "currents[0].ebb_direction",
            "currents[1].across_direction",
            "currents[2].ebb_ratio",
            "currents[2].reference",
        ]
