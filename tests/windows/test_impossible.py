"""What reads well and yet can't be is refused by a check and told by every forecast; the odd is not."""

import math
from dataclasses import replace

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from tests.cli.runs import done, refused, run
from tests.cli.test_one_mistake import MISTAKES, laid_out
from windows.shoreline.plausible import STANDING_YEAR, impossible
from windows.shoreline.plausible.levels import STORM, reach_of
from windows.shoreline.shore import read_possible_shore, read_shore

LINES = {name: item for name, item in MISTAKES.items() if item.refused}
ODD = {name: item for name, item in MISTAKES.items() if not item.refused}
COMMANDS = (("week", "--spot", "wall"), ("best",), ("compare",), ("now",))


@pytest.mark.parametrize("name", LINES)
def test_a_mistake_is_refused_where_a_file_is_read(name, tmp_path):
    with pytest.raises(FileProblemsError) as caught:
        read_possible_shore(laid_out(tmp_path, LINES[name]))
    assert any(problem.where.startswith(LINES[name].where) for problem in caught.value.problems)


@pytest.mark.parametrize("name", ODD)
def test_what_is_only_odd_forecasts(name, tmp_path):
    assert read_possible_shore(laid_out(tmp_path, ODD[name])).doubts == ()


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: words[0])
def test_every_forecast_says_what_check_refuses(command, tmp_path):
    name, *options = command
    path = laid_out(tmp_path, MISTAKES["west without its sign at the spot"])
    refusal = refused(1, "check", path)
    assert "write: longitude = -70.71" in refusal
    result = run(name, path, *options)
    assert result.code == 0
    assert "This can't be so, and `ebblight check` refuses it: " in result.err
    assert "write: longitude = -70.71" in result.err


def test_a_spot_far_off_may_have_a_station_by_differences_at_its_place(tmp_path):
    mistake = MISTAKES["a degree wrong"]
    path = laid_out(tmp_path, mistake)
    assert "one by differences from this one" in refused(1, "check", path)
    far = 'id = "far"\nname = "Far"\nlatitude = 48.1\nlongitude = -70.7\nreference = "pier"\n'
    same = "high_water = { minutes = 5 }\nlow_water = { minutes = 5 }\n"
    text = path.read_text().replace('station = "pier"\ndepth', 'station = "far"\ndepth')
    path.write_text(f"{text}\n[[stations]]\n{far}{same}")
    assert "Best: " in done("week", path, "--spot", "wall")


def test_a_datum_of_another_name_takes_any_mean_level(tmp_path):
    path = laid_out(tmp_path, MISTAKES["mean level left at nought"])
    assert 'a datum of another name, such as "gauge zero"' in refused(1, "check", path)
    path.write_text(path.read_text().replace('"MLLW"', '"gauge zero"').replace("least_level = 0.3\n", ""))
    assert run("check", path).code == 0


@pytest.mark.parametrize("words", ["5 ft below MLLW", "0.5 m under chart datum"])
def test_a_datum_apart_from_another_says_nothing_of_the_mean_level(tmp_path, words):
    path = laid_out(tmp_path, None)
    text = path.read_text().replace('"MLLW"', f'"{words}"')
    path.write_text(text.replace("mean_level = 1.02", "mean_level = 3.3462"))
    assert "mean sea level" not in run("check", path).err


def test_a_chart_datum_far_below_low_water_is_only_odd(tmp_path):
    path = laid_out(tmp_path, None)
    path.write_text(path.read_text().replace("mean_level = 1.02", "mean_level = 2.40"))
    assert "stations[0].mean_level: found mean sea level 2.40 m" in run("check", path, columns="999").out


@pytest.mark.parametrize("published", ["feet", "metres", "centimetres", "inches"])
@pytest.mark.parametrize("phase", ["greenwich", "local"])
def test_tables_that_import_wrote_contradict_nothing(tmp_path, published, phase):
    """Their comments tell of the published table, their numbers are in the unit of the file."""
    metres = {"feet": 0.3048, "metres": 1.0, "centimetres": 0.01, "inches": 0.0254}[published]
    waves = (("M2", 0.9, 120), ("S2", 0.25, 150), ("K1", 0.12, 200), ("O1", 0.1, 180))
    rows = "".join(f"{name} {size / metres:.5f} {lag}\n" for name, size, lag in waves)
    table = tmp_path / "table.txt"
    table.write_text(f"Amplitudes in {published}, phases {phase}\nName Amplitude Phase\n{rows}")
    options = ("--units", published, "--phase", phase, *(("--utc-offset", "-5") if phase == "local" else ()))
    csv = tmp_path / "pier.csv"
    assert run("import", table, *options, "-o", csv).code == 0
    kept = csv.read_text()
    path = laid_out(tmp_path, None)
    csv.write_text(kept)
    unit = "feet" if published in ("feet", "inches") else "metres"
    if unit == "feet":
        text = path.read_text().replace('length_unit = "metres"', 'length_unit = "feet"')
        path.write_text(text.replace("mean_level = 1.02", "mean_level = 3.346"))
    read_possible_shore(path)
    other = "metres" if unit == "feet" else "feet"
    path.write_text(path.read_text().replace(f'length_unit = "{unit}"', f'length_unit = "{other}"'))
    with pytest.raises(FileProblemsError, match="length_unit"):
        read_possible_shore(path)


class TestWithoutPrediction:
    """The short way round a year's prediction never passes what the prediction refuses."""

    @pytest.mark.parametrize("scale", [0.05, 0.3, 1.0, 3.0])
    @pytest.mark.parametrize("key", ["least_level", "greatest_level"])
    def test_levels_are_refused_just_where_a_year_s_tide_says(self, tmp_path, scale, key):
        path = laid_out(tmp_path, None)
        read = read_shore(path)
        pier = read.stations[0]
        shrunk = replace(
            pier, constants=replace(pier.constants, amplitude=pier.constants.amplitude * scale), datum="zero"
        )
        reach = reach_of(shrunk, STANDING_YEAR)
        slack = STORM + 0.25 * reach.greatest
        edge = reach.highest + slack if key == "least_level" else reach.lowest - slack
        for apart, found in ((-0.01, []), (0.01, [f"spots[0].{key}"])):
            value = edge + apart * (1 if key == "least_level" else -1)
            limits = limits_of(tmp_path, key, value)
            spot = replace(read.spots[0], station=shrunk, depth_at_datum=None, limits=limits)
            shore = replace(read, stations=(shrunk,), spots=(spot,), banks=(), landings=())
            assert [item.where for item in impossible(shore, {"stations": [{}]})] == found

    def test_a_year_s_tide_passes_its_own_rms(self, tmp_path):
        for station in read_shore(laid_out(tmp_path, None)).stations[:1]:
            rms = math.sqrt(float(np.sum(station.constants.amplitude**2)) / 2.0)
            reach = reach_of(station, STANDING_YEAR)
            assert reach.lowest < station.mean_level - rms
            assert reach.highest > station.mean_level + rms


def limits_of(folder, key, value):
    path = laid_out(folder, None)
    text = path.read_text().replace("least_level = 0.3", "").replace("greatest_depth = 4.5", "")
    near = 0.3 if key == "least_level" else 1.0
    path.write_text(text.replace("slack_lag = 30", f"slack_lag = 30\n{key} = {near}"))
    (limit, *_) = read_shore(path).spots[0].limits
    assert limit == type(limit)(near)
    return (type(limit)(value),)
