"""Which column of a record is taken for the level, by name and unit; invented tables."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.records.current_reader import holds_currents, read_currents
from harmonics.records.level_columns import level_column
from harmonics.records.quantities import SCALES, Quantity
from harmonics.records.reader import parse_record


def chosen(*headers):
    problems = []
    found = level_column(["time_utc", *headers], None, problems)
    assert (found is None) == bool(problems)
    return str(problems[0]) if found is None else ["time_utc", *headers][found]


@pytest.mark.parametrize("quantity", list(Quantity))
def test_no_quantity_of_the_weather_is_a_level(quantity):
    unit = next(iter(SCALES[quantity].units))
    for header in (quantity.value, f"{quantity.value} [{unit}]", f"level {quantity.value}"):
        assert "one column of levels" in chosen(header)
        assert chosen(header, "level_m") == "level_m"


@pytest.mark.parametrize(
    "other",
    [
        "air_pressure_at_mean_sea_level [hPa]",
        "Water Temperature (F)",
        "water [degC]",
        "level [dbar]",
        "level_hpa",
        "sea_surface_wave_significant_height [m]",
        "water level flag",
        "Water level sigma (m)",
        "water level predicted (m)",
        "tidal_sea_surface_height_above_mean_sea_level [m]",
        "water current speed [m/s]",
        "height of cloud base [m]",
    ],
)
def test_what_is_called_or_measured_as_something_else_gives_way(other):
    for level in ("level_m", "Water Level (ft)", "stage", "wl_cm"):
        assert chosen(other, level) == chosen(level, other) == level


@pytest.mark.parametrize(
    "name",
    [
        "sea_surface_height_above_mean_sea_level",
        "sea_surface_height_above_geopotential_datum",
        "water_surface_height_above_reference_datum",
        "sea_surface_height_above_reference_ellipsoid",
        "sea_level",
    ],
)
def test_a_standard_name_comes_before_a_word(name):
    for header in (name, f"{name} [m]", f"{name} (ft)"):
        assert chosen(header) == header
        assert chosen("tide_m", header, "water level (m)") == header


def test_one_that_nobody_observed_is_taken_where_there_is_no_other():
    assert chosen("predicted level (m)", "air_temperature") == "predicted level (m)"
    assert "columns predicted level, tidal height" in chosen("predicted level", "tidal height")


def test_in_doubt_the_columns_are_named():
    assert chosen("level_m", "air_pressure_at_mean_sea_level [hPa]", "stage_m") == (
        "header: found columns level_m, stage_m; expected one column of levels, named as in 'level_m', or "
        "which of them told (level_column)"
    )
    assert chosen("air_pressure_at_mean_sea_level [hPa]", "salt") == (
        "header: found columns time_utc, air_pressure_at_mean_sea_level [hPa], salt, of which "
        "air_pressure_at_mean_sea_level [hPa] can't be a level; expected one column of levels, named as in "
        "'level_m'"
    )
    doubt = chosen("sea_level", "sea_surface_height_above_geoid")
    assert "columns sea_level, sea_surface_height_above_geoid" in doubt


def test_a_letter_at_the_end_of_a_name_is_no_unit():
    assert chosen("gauge level c") == "gauge level c"
    assert "one column of levels" in chosen("gauge level (C)")


def test_named_it_is_taken_whatever_it_is_called():
    text = "time_utc,air_pressure_at_mean_sea_level [m],level_m\n2021-01-01 00:00,2.0,1.0\n"
    assert parse_record(text, "a.csv").level[0] == 1.0
    named = parse_record(text, "a.csv", level_column="air_pressure_at_mean_sea_level [m]")
    assert named.level[0] == 2.0


def test_a_record_with_the_weather_beside_it():
    text = "time_utc,air_pressure_at_mean_sea_level [hPa],stage [ft]\n2021-01-01 00:00,1013,2.0\n"
    assert parse_record(text, "a.csv").level[0] == pytest.approx(0.6096)
    with pytest.raises(FileProblemsError, match="can't be a level"):
        parse_record(text.replace(",stage [ft]", "").replace(",2.0", ""), "a.csv")


def test_currents_with_the_wind_beside_them(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(
        "time_utc,wind_speed [kn],wind_from_direction [degree],speed [m/s],direction [deg]\n"
        "2021-01-01 00:00,30,10,1.0,90\n"
    )
    assert holds_currents(path)
    assert read_currents(path).east[0] == pytest.approx(1.0)
    path.write_text("time_utc,wind_speed [kn],wind_from_direction [degree]\n2021-01-01 00:00,30,10\n")
    assert not holds_currents(path)
