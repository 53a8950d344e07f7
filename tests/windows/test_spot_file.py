"""[fishing] and [[spots]] in a file: what they come to inside, and what is refused."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError, UnknownNameError
from tests.cli.runs import checked
from tests.examples import examples
from tests.windows.conftest import KNOT, coast_text, one_spot, spot_text
from windows.shoreline.gates import GreatestLevel, GreatestSpeed, LeastLevel, SunDown
from windows.shoreline.shore import read_shore
from windows.shoreline.spots import LightPreference, Points, Preferences, SpeedRange

FOOT = 0.3048
TIDE = [("M2", 1.2, 100.0), ("S2", 0.4, 140.0)]
CURRENT = """
[[currents]]
id = "race"
name = "Race"
latitude = 45.0
longitude = 0.0
flood_direction = 40
ebb_direction = 215
constituents = [{ name = "M2", amplitude = 2.0, phase = 60.0 }]
"""


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


def fishing(keys: str, spot_keys: str = "") -> str:
    return coast_text(TIDE) + f"\n[fishing]\n{keys}\n" + spot_text(spot_keys)


def test_defaults_are_those_of_the_design(shore):
    spot = shore(one_spot(TIDE)).spots[0]
    wanted = spot.preferences
    assert wanted == Preferences()
    assert (wanted.light, wanted.hours, wanted.session, wanted.keep) == (LightPreference.LOW, None, 7200, 50)
    assert wanted.points == Points(60, 35, 5)
    assert wanted.speeds == SpeedRange(*(knots * KNOT for knots in (0.1, 0.4, 1.2, 2.0)))
    assert wanted.days == tuple(range(7))
    assert wanted.gates == ()
    assert (spot.slack_lag, spot.limits) == (None, ())


def test_every_preference_is_read(shore):
    wanted = shore(
        fishing(
            'light = "night"\nhours = "20:00-02:00"\ndays = ["Sat", "sunday", "WED"]\nsession = "1h30min"\n'
            "points = { flow = 100, light = 0, moon = 0 }\nkeep = 40\ndaylight_only = true\n"
            "greatest_speed = 1.5\nspeeds = { full_from = 0.5, nothing_above = 3 }"
        )
    )
    spot = wanted.spots[0]
    wanted = spot.preferences
    assert wanted.light is LightPreference.NIGHT
    assert wanted.hours.text == "20:00-02:00"
    assert wanted.days == (2, 5, 6)
    assert (wanted.session, wanted.keep, SunDown() in wanted.gates) == (5400, 40, True)
    assert wanted.points == Points(100, 0, 0)
    assert spot.limit(GreatestSpeed) == pytest.approx(1.5 * KNOT)
    assert wanted.speeds == SpeedRange(*(knots * KNOT for knots in (0.1, 0.5, 1.2, 3)))


def test_a_spot_overrides_what_it_names_and_keeps_the_rest(shore):
    text = fishing('light = "day"\nkeep = 40\nsession = "3h"', 'light = "any"\nsession = "1h"')
    first, second = shore(text + spot_text(spot_id="other")).spots
    assert (first.preferences.light, first.preferences.session, first.preferences.keep) == ("any", 3600, 40)
    assert (second.preferences.light, second.preferences.session, second.preferences.keep) == (
        "day",
        10800,
        40,
    )


@pytest.mark.parametrize("units, unit", [("metres", 1.0), ("feet", FOOT)])
def test_levels_are_in_the_file_s_units_and_lags_in_minutes(shore, units, unit):
    text = one_spot(TIDE, "slack_lag = -25\nleast_level = 0.5\ngreatest_level = 4").replace(
        '\nunits = "metres"', f'\nunits = "{units}"'
    )
    spot = shore(text).spots[0]
    assert spot.slack_lag == -1500
    assert (spot.limit(LeastLevel), spot.limit(GreatestLevel)) == pytest.approx((0.5 * unit, 4 * unit))
    assert spot.station.mean_level == 2.0  # the station's table has a unit of its own


def test_names_are_looked_up_and_unknown_ones_list_those_there_are(shore):
    made = shore(coast_text(TIDE) + spot_text(spot_id="a") + spot_text(spot_id="b") + CURRENT)
    assert made.spot("b").id == "b"
    assert made.station("gauge").id == "gauge"
    assert made.current("race").id == "race"
    for look_up, told in (
        (made.spot, "no spot 'x'; the file's spots: a, b"),
        (made.station, "no station 'x'; the file's stations: gauge"),
        (made.current, "no current 'x'; the file's currents: race"),
    ):
        with pytest.raises(UnknownNameError, match=told):
            look_up("x")


def test_a_file_without_spots_is_no_problem(shore):
    assert shore(coast_text(TIDE)).spots == ()


@pytest.mark.parametrize(
    "keys, told",
    [
        ('light = "dim"', "light: found 'dim'; expected \"low\", \"day\", \"night\" or \"any\""),
        ("light = 3", "light: found 3; expected"),
        ('lihgt = "low"', "lihgt: found an unknown key; expected 'light'? known keys:"),
        ('hours = "noon"', "hours: found 'noon'; expected \"any\" or a range such as"),
        ('hours = "12:00-12:00"', "hours: found '12:00-12:00'; expected a range whose ends differ"),
        ('hours = "25:00-26:00"', "hours: found '25:00-26:00'; expected clock times from 0:00 to 24:00"),
        ('days = ["monkey"]', "days: found 'monkey'; expected weekdays: mon, tue"),
        ("days = []", "days: found an empty list; expected weekdays"),
        ('days = "sat"', "days: found 'sat'; expected a list of weekdays"),
        ('days = ["sat", 7]', "days[1]: found 7; expected a list of weekdays"),
        ('session = "20min"', "session: found '20min'; expected a length from \"30min\" to \"12h\""),
        ('session = "13h"', "session: found '13h'; expected a length from"),
        ('session = "31min"', "session: found '31min'; expected a length from"),
        ('session = "long"', "session: found 'long'; expected a length such as"),
        ("session = 2", "session: found 2; expected a length from"),
        ("points = { flow = 60, light = 35, moon = 6 }",
         "points: found flow 60 + light 35 + moon 6 = 101; expected points that sum to 100"),
        ("points = { flow = 100 }", "points.light: found nothing (the key is missing); expected points from"),
        ("points = { flow = 160, light = -65, moon = 5 }", "points.flow: found 160; expected points from 0"),
        ("points = { flow = nan, light = 35, moon = 5 }", "points.flow: found nan; expected points"),
        ("points = 100", "points: found 100; expected a table { flow, light, moon }"),
        ("points = { flwo = 60 }", "points.flwo: found an unknown key; expected 'flow'?"),
        ("keep = 101", "keep: found 101; expected points from 0"),
        ("speeds = { full_from = 1.5 }", "speeds: found 0.1, 1.5, 1.2, 2; expected knots that grow"),
        ("speeds = { full_form = 1 }", "speeds.full_form: found an unknown key; expected 'full_from'?"),
        ('daylight_only = "yes"', "daylight_only: found 'yes'; expected true or false"),
        ("greatest_speed = -1", "greatest_speed: found -1; expected knots from 0 to 20"),
    ],
)  # fmt: skip
def test_each_bad_preference_is_told_wherever_it_stands(problems, keys, told):
    assert any(line.startswith(f"fishing.{told}") for line in problems(fishing(keys)))
    assert any(line.startswith(f"spots[0].{told}") for line in problems(fishing("", keys)))


@pytest.mark.parametrize(
    "old, new, told",
    [
        ("latitude = 45.0", "latitude = 95", "spots[0].latitude: found 95; expected degrees from -90 to 90"),
        ('id = "spot"', 'id = "a b"', "spots[0].id: found 'a b'; expected 1 to 64 letters"),
        ('station = "gauge"', 'station = "gague"',
         "spots[0].station: found 'gague'; expected the id of one of [[stations]] (gauge)"),
        ('station = "gauge"', 'station = "race"',
         "spots[0].station: found 'race'; expected the id of one of [[stations]] (gauge)"),
        ('station = "gauge"', 'station = "gauge"\nslack_lag = 400', "spots[0].slack_lag: found 400"),
        ('station = "gauge"', 'station = "gauge"\nleast_level = 3\ngreatest_level = 2',
         "spots[0].greatest_level: found 2; expected more than least_level, 3"),
        ("[[spots]]", "[spots]", "spots: found a table; expected [[spots]] tables"),
    ],
)  # fmt: skip
def test_each_bad_key_of_a_spot_is_told(problems, old, new, told):
    spot = spot_text()
    assert old in spot
    assert any(
        line.startswith(told) for line in problems(coast_text(TIDE) + CURRENT + spot.replace(old, new))
    )


def test_an_id_given_twice(problems):
    (line,) = problems(one_spot(TIDE) + spot_text())
    assert line == "spots[1].id: found 'spot' a second time; expected an id of its own"


def test_everything_wrong_is_told_at_once(problems):
    text = (
        coast_text(TIDE, zone="Mars/Base").replace('"M2"', '"XX9"')
        + '\n[fishing]\nlight = "dim"\nkeep = 300\n'
    )
    text += spot_text('hours = "noon"\nslack_lag = 999') + spot_text(
        "points = { flow = 1 }", "other", station="x"
    )
    found = problems(text)
    for told in (
        "time_zone: found 'Mars/Base'",
        "stations[0].constituents[0].name: found unknown constituent 'XX9'",
        "fishing.light: found 'dim'",
        "fishing.keep: found 300",
        "spots[0].hours: found 'noon'",
        "spots[0].slack_lag: found 999",
        "spots[1].points.light: found nothing",
        "spots[1].station: found 'x'",
    ):
        assert sum(line.startswith(told) for line in found) == 1, told


KEYS = (
    "id", "name", "latitude", "longitude", "station", "slack_lag", "least_level", "greatest_level", "light",
    "hours", "days", "session", "points", "keep", "speeds", "daylight_only", "greatest_speed", "flow",
    "moon", "full_from", "current", "basin_area_m2", "bank", "heaviest_lead", "other",
)  # fmt: skip
scalars = st.one_of(
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=6),
    st.sampled_from(("gauge", "spot", "any", "low", "2h", "12:00-sunset", "race", "8oz", "mon")),
)
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=4),
    max_leaves=12,
)


def toml(value) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    if isinstance(value, str):
        return json.dumps(value).replace("\x7f", "\\u007f")
    return str(value).lower() if isinstance(value, bool) else repr(value)


@examples(60)
@given(st.dictionaries(st.sampled_from(KEYS), values, max_size=4), values, st.booleans())
def test_any_spot_and_any_preference_is_read_or_told(tmp_path_factory, table, value, whole):
    good = {"id": "spot", "name": "S", "latitude": 45.0, "longitude": 0.0, "station": "gauge"}
    spots = toml([good | table]) if whole else toml(value)
    text = f"spots = {spots}\nfishing = {toml(table)}\n" + coast_text(TIDE)
    path = tmp_path_factory.getbasetemp() / "fuzz.toml"
    path.write_text(text, encoding="utf-8", errors="replace")
    if checked(path):
        assert all(spot.station.id == "gauge" for spot in read_shore(path).spots)
    else:
        with pytest.raises(FileProblemsError):
            read_shore(path)
