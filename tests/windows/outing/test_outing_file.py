"""[[landings]], [boat], [[ways]] and [outing] in a file: what they come to inside, and what is refused."""

import pytest

from harmonics.errors import FileProblemsError, UnknownNameError
from tests.windows.conftest import KNOT, coast_text, spot_text
from tests.windows.outing.shores import TIDE, bank, boat, coast, landing, outing, way
from windows.shoreline.hours import End, SunMark
from windows.shoreline.outing_file import parse_day_time, parse_longest, parse_margin
from windows.shoreline.outings import BaitWish, Boat, DayTime, Outing
from windows.shoreline.routes import RouteSource, great_circle, route
from windows.shoreline.shore import read_shore

FOOT = 0.3048


@pytest.fixture
def problems(tmp_path):
    """The problems of a file, as lines."""

    def read(text):
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(FileProblemsError) as caught:
            read_shore(path)
        return [str(problem) for problem in caught.value.problems]

    return read


def test_a_file_that_says_nothing_of_days_out(shore):
    made = shore(coast())
    assert (made.landings, made.boat, made.ways, made.outing) == ((), None, (), Outing())
    assert made.banks == ()


def test_every_key_is_read(shore):
    made = shore(
        coast(
            landing("ramp", 'station = "gauge"\ndepth_at_datum = -0.3\nlaunch = 10'),
            landing("dock", "least_level = 1.2\ngreatest_level = 2.8"),
            bank(),
            boat("speed_kn = 8\ndraft = 0.6"),
            way("ramp", "spot", "minutes = 25\ngreatest_level = 2.5"),
            way("flat", "ramp", "minutes = 5"),
            outing(
                'start = "ramp"\nleave_after = "13:30"\nhome_by = "sunset+30min"\nlongest = "5h30min"\n'
                'from_home = 35\nmove = 10\nsettle = 25\ngather = 40\nbait = "if possible"\n'
                'margin = "1h5min"\n'
                "most_moves = 2\nmove_cost = 7.5\nkeep = 80"
            ),
        )
    )
    ramp, dock = made.landings
    assert made.boat == Boat(8 * KNOT, 0.6)
    assert (ramp.id, ramp.name, ramp.latitude, ramp.longitude, ramp.launch) == (
        *("ramp", "Ramp", 45.01, 0.0),
        600.0,
    )
    assert ramp.sill is not None and dock.sill is not None
    assert ramp.sill.station is made.stations[0]
    assert ramp.sill.least_level == pytest.approx(0.9)  # 0.6 of draft over a sill 0.3 above datum
    assert (ramp.sill.depth_at_datum, ramp.sill.greatest_level) == (-0.3, None)
    assert (dock.sill.least_level, dock.sill.greatest_level, dock.launch) == (1.2, 2.8, 900.0)
    first, second = made.ways
    assert (first.ends, first.seconds) == (frozenset({"ramp", "spot"}), 1500.0)
    assert first.sill is not None and first.sill.greatest_level == 2.5
    assert (second.ends, second.seconds, second.sill) == (frozenset({"flat", "ramp"}), 300.0, None)
    assert made.outing == Outing(
        start="ramp",
        leave_after=DayTime("13:30", End(None, 13.5 * 3600)),
        home_by=DayTime("sunset+30min", End(SunMark.SUNSET, 1800.0)),
        longest=5.5 * 3600,
        from_home=2100.0,
        move=600.0,
        settle=1500.0,
        margin=3900.0,
        gather=2400.0,
        bait=BaitWish.IF_POSSIBLE,
        most_moves=2,
        move_cost=7.5,
        keep=80.0,
    )
    assert made.landing("dock") is dock
    with pytest.raises(UnknownNameError, match="ramp, dock"):
        made.landing("quay")


def test_heights_and_drafts_are_in_the_file_s_units(shore):
    text = coast(landing(keys="depth_at_datum = 1"), boat("speed_kn = 5\ndraft = 2.5"))
    made = shore(text.replace('units = "metres"\n\n', 'units = "feet"\n\n'))
    assert made.boat is not None and made.landings[0].sill is not None
    assert made.boat.draft == pytest.approx(2.5 * FOOT)
    assert made.landings[0].sill.least_level == pytest.approx(1.5 * FOOT)
    assert made.landings[0].sill.depth_at_datum == pytest.approx(1.0 * FOOT)


def test_people_on_foot_need_no_time_at_the_car_park(shore):
    (park,) = shore(coast(landing("park"))).landings
    assert (park.sill, park.launch) == (None, 0.0)


def test_a_bank_that_the_boat_reaches_serves_for_bait(shore):
    place = bank(keys="bare_below = 1.4\nlatitude = 45.02\nlongitude = 0.0")
    made = shore(coast(landing(), place, boat(), outing('bait = "needed"')))
    assert made.outing.bait is BaitWish.NEEDED


def test_what_is_not_said_of_a_day_out(shore):
    made = shore(coast(landing(), outing("move = 5"))).outing
    assert (made.leave_after, made.home_by) == (parse_day_time("12:00"), parse_day_time("sunset+1h"))


def test_the_only_landing_is_the_start(shore):
    assert shore(coast(landing("park"))).outing.start == "park"


def test_without_a_start_the_first_landing_is_it(shore):
    assert shore(coast(landing("quay"), landing("park"))).outing.start == "quay"
    named = outing('start = "park"')
    assert shore(coast(landing("quay"), landing("park"), named)).outing.start == "park"


class TestRoutes:
    def test_a_way_comes_before_the_distance_and_goes_both_ways(self, shore):
        made = shore(coast(landing(), boat(), way("spot", "ramp")))
        ways = {item.ends: item for item in made.ways}
        for one, other in (
            (made.landings[0], made.spots[0]),
            (made.spots[0], made.landings[0]),
        ):
            found = route(one, other, ways, made.boat)
            assert found is not None
            assert (found.seconds, found.source, found.metres) == (1200.0, RouteSource.GIVEN, None)

    def test_distance_over_speed_and_a_detour_else(self, shore):
        made = shore(coast(landing(latitude=45.0 + 1 / 60), boat("speed_kn = 6")))
        found = route(made.landings[0], made.spots[0], {}, made.boat)
        assert found is not None and found.metres is not None
        # a minute of arc of the mean sphere is 1853.25 m, a tenth of an hour and more at 6 knots
        assert found.metres == pytest.approx(1853.25, abs=0.01)
        assert found.seconds == pytest.approx(1.3 * 1853.25 / (6 * KNOT), abs=0.01)
        assert found.source is RouteSource.DISTANCE
        walked = route(made.landings[0], made.spots[0], {}, None)
        assert walked is not None
        assert walked.seconds == pytest.approx(1.3 * 1853.25 / (4000 / 3600), abs=0.01)

    def test_a_way_may_give_its_water_alone(self, shore):
        made = shore(coast(landing(), boat(), way("spot", "ramp", "depth_at_datum = -0.4")))
        ways = {item.ends: item for item in made.ways}
        found = route(made.landings[0], made.spots[0], ways, made.boat)
        assert found is not None and found.sill is not None
        assert (found.source, found.sill.least_level) == (RouteSource.DISTANCE, pytest.approx(0.9))

    def test_a_bank_without_a_position_is_reached_by_its_own_spot_alone(self, shore):
        text = coast(landing(), bank()).replace("slack_lag = 0", "slack_lag = 0\nbank_away = 12")
        made = shore(text)
        (flat,) = made.banks
        found = route(made.spots[0], flat, {}, None)
        assert found is not None
        assert (found.seconds, found.source) == (720.0, RouteSource.BANK_AWAY)
        assert route(flat, made.spots[0], {}, None) == found
        assert route(made.landings[0], flat, {}, None) is None

    def test_a_bank_with_a_position_lies_where_it_says(self, shore):
        keys = "bare_below = 1.4\nlatitude = 45.02\nlongitude = 0.0"
        made = shore(coast(landing(), bank(keys=keys)))
        assert made.banks[0].position == (45.02, 0.0)
        found = route(made.landings[0], made.banks[0], {}, None)
        assert found is not None
        assert found.source is RouteSource.DISTANCE

    def test_a_quarter_of_the_earth(self):
        quarter = 6_371_008.8 * 3.141592653589793 / 2
        assert great_circle((0, 0), (0, 90)) == pytest.approx(quarter)
        assert great_circle((90, 12), (0, -70)) == pytest.approx(quarter)
        assert great_circle((10, 179.5), (10, -179.5)) == pytest.approx(109_505, rel=1e-3)  # the date line


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ((landing(), way("ramp", "reef")), "ways[0].to: found 'reef'; expected the id of a landing"),
        ((landing(), way("quay", "spot")), "ways[0].from: found 'quay'; expected the id of a landing"),
        ((landing(), way("ramp", "ramp")), "ways[0].to: found 'ramp', where it starts"),
        (
            (landing(), way("ramp", "spot"), way("spot", "ramp", "minutes = 30")),
            "ways[1].to: found the way between 'spot' and 'ramp' again; expected each way once",
        ),
        ((landing(), way("ramp", "spot", "minutes = -5")), "ways[0].minutes: found -5; expected minutes"),
        ((landing(), "\n[[ways]]\nto = 'spot'\n"), "ways[0].from: found nothing (the key is missing)"),
        (
            (landing(), way("ramp", "spot", "minuts = 5")),
            "ways[0].minuts: found an unknown key; expected 'minutes'",
        ),
        ((landing(), bank(), way("ramp", "flat", "")), "ways[0].minutes: found nothing (the key is missing)"),
        ((landing(keys="launch = -1"),), "landings[0].launch: found -1; expected minutes from 0 to 720"),
        ((landing(), landing()), "landings[1].id: found 'ramp', the id of another of [[landings]] too"),
        ((landing("spot"),), "landings[0].id: found 'spot', the id of another of [[spots]] too"),
        ((landing("flat"), bank()), "landings[0].id: found 'flat', the id of another of [[banks]] too"),
        ((landing(keys="depth_at_datum = 1"),), "landings[0].depth_at_datum: found 1 without a [boat]"),
        (
            (landing(keys="depth_at_datum = 1\nleast_level = 2"), boat()),
            "landings[0].depth_at_datum: found 1 beside least_level",
        ),
        (
            (landing(keys="greatest_level = 1\nleast_level = 2"),),
            "landings[0].greatest_level: found 1; expected more than least_level, 2",
        ),
        (
            (landing(keys="greatest_level = 2\nleast_level = 2"),),
            "landings[0].greatest_level: found 2; expected more than least_level, 2",
        ),
        ((landing(keys='station = "pier"\nleast_level = 1'),), "landings[0].station: found 'pier'"),
        ((landing(), boat("speed_kn = 0")), "boat.speed_kn: found 0; expected knots above 0"),
        ((landing(), boat("draft = 1")), "boat.speed_kn: found nothing (the key is missing)"),
        ((landing(), "\n[[boat]]\nspeed_kn = 3\n"), "boat: found a list of 1"),
        ((landing(), outing('start = "quay"')), "outing.start: found 'quay'; expected the id of one of"),
        ((outing('start = "quay"'),), "outing.start: found 'quay'"),
        ((landing(), outing('home_by = "25:00"')), "outing.home_by: found '25:00'; expected clock times"),
        (
            (landing(), outing('leave_after = "noonish"')),
            "outing.leave_after: found 'noonish'; expected a clock",
        ),
        (
            (landing(), outing('leave_after = "14:00"\nhome_by = "12:00"')),
            "outing.home_by: found '12:00', before leaving after '14:00'",
        ),
        (
            (landing(), outing('leave_after = "sunset"\nhome_by = "sunrise"')),
            "outing.home_by: found 'sunrise', before leaving after 'sunset'",
        ),
        (
            (landing(), outing('leave_after = "sunset"\nhome_by = "sunset"')),
            "outing.home_by: found 'sunset', before leaving after 'sunset'",
        ),
        (
            (landing(), outing('leave_after = "02:00 next day"')),
            "outing.leave_after: found '02:00 next day'; expected a time of the day one leaves on",
        ),
        ((landing(), outing('longest = "0h"')), "outing.longest: found '0h'; expected a length"),
        *(
            ((landing(), outing(f"margin = {text}")), f"outing.margin: found {found}; expected a length from")
            for text, found in (
                *(('"3h1min"', "'3h1min'"), ('"-5min"', "'-5min'"), ('"soon"', "'soon'"), ('""', "''")),
                *(("15", "15"), ("true", "true")),
            )
        ),
        ((landing(), outing("settle = -20")), "outing.settle: found -20; expected minutes"),
        ((landing(), outing("most_moves = 2.5")), "outing.most_moves: found 2.5; expected a whole number"),
        ((landing(), outing('bait = "yes"')), "outing.bait: found 'yes'; expected \"needed\""),
        (
            (landing(), outing('bait = "needed"')),
            "outing.bait: found 'needed' in a file without [[banks]]; expected a [[banks]] table",
        ),
        (
            (landing(), bank(), outing('bait = "needed"')),
            "outing.bait: found 'needed', but no way to a bank is known; expected minutes of one of [[ways]]",
        ),
        ((landing(), outing("mov = 5")), "outing.mov: found an unknown key; expected 'move'"),
        ((bank(keys="bare_below = 1\nlatitude = 45"),), "banks[0].longitude: found nothing"),
    ],
)
def test_what_makes_no_sense_is_named(problems, parts, told):
    found = problems(coast(*parts))
    assert any(line.startswith(told) for line in found), found


@pytest.mark.parametrize("key", ["ways", "landings", "boat", "outing"])
def test_a_table_must_be_one(problems, key):
    (line,) = problems(coast().replace('units = "metres"', f'units = "metres"\n{key} = 3'))
    assert line.startswith(f"{key}: found 3; expected ")


def test_one_mistake_is_told_once(problems):
    text = coast(landing(), bank(), way("ramp", "flat", "minutes = -1"), outing('bait = "needed"'))
    assert len(problems(text)) == 1


def test_a_station_must_be_named_where_there_are_two(problems):
    second = (
        '\n[[stations]]\nid = "cove"\nname = "Cove"\nreference = "gauge"\nhigh_water = {}\nlow_water = {}\n'
    )
    found = problems(coast(second, landing(keys="least_level = 1")))
    assert found == [
        "landings[0].station: found nothing (the key is missing); expected the station whose level it is"
    ]


def test_a_landing_of_a_station_that_can_t_be_read_is_no_second_problem(problems):
    text = coast(landing(keys='station = "gauge"\nleast_level = 1')).replace(
        "mean_level = 2.0", "mean_level = 'x'"
    )
    assert [line.split(":")[0] for line in problems(text)] == ["stations[0].mean_level"]


@pytest.mark.parametrize(
    ("leave", "home", "refused"),
    [
        ("20:00", "02:00 next day", False),
        ("dusk", "dawn next day", False),
        ("12:00", "12:05", False),
        ("12:00", "sunset", False),
        ("dawn", "sunrise", False),
        ("sunset+1h", "dusk", False),
        ("sunrise", "dawn-1h", True),
        ("12:00", "12:00", True),
    ],
)
def test_home_after_leaving(shore, problems, leave, home, refused):
    text = coast(landing(), outing(f'leave_after = "{leave}"\nhome_by = "{home}"'))
    if refused:
        assert problems(text)
    else:
        assert shore(text).outing.home_by.text == home


def test_times_of_day_are_read_as_they_are_spoken():
    assert parse_day_time(" 02:00 Next Day ") == DayTime("02:00 Next Day", End(None, 7200.0), True)
    assert parse_day_time("dusk-30min").end == End(SunMark.DUSK, -1800.0)
    assert parse_longest("90min") == 5400.0
    for text in ("", "next day", "12:00-13:00", "sunset+", "12", "12:00 nextday"):
        with pytest.raises(ValueError, match=r"clock or sun time|a shift"):
            parse_day_time(text)
    for text in ("49h", "0min", "long"):
        with pytest.raises(ValueError, match="a length such as"):
            parse_longest(text)
    assert [parse_margin(text) for text in ("0min", "20MIN", "3h")] == [0.0, 1200.0, 10800.0]
    for text in ("", "181min", "4h", "20", "-5min"):
        with pytest.raises(ValueError, match='a length from "0min" to "3h"'):
            parse_margin(text)


def test_spots_elsewhere_stay_as_they_were(shore):
    """A file without these tables reads as before; a spot still has the file's only bank."""
    made = shore(coast_text(TIDE) + bank() + spot_text())
    assert made.spots[0].bank is made.banks[0]


def test_an_id_of_thousands_of_digits_is_a_problem_in_words(shore):
    text = coast(landing("park"), bank(), boat()).replace('id = "park"', "id = 0x" + "f" * 5000)
    assert "0xff" in text
    with pytest.raises(FileProblemsError, match="id: found"):
        shore(text)
