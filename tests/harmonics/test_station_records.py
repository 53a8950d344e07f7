"""Files that a station names, tables of other rooms, and files that are no TOML."""

from harmonics.files.station_file import read_station_file
from harmonics.units import LengthUnit
from tests.harmonics.test_station_file import HEAD, STATION, problems_of


def problems(folder, text):
    (folder / "shore.toml").write_text(text, encoding="utf-8")
    return problems_of(folder / "shore.toml")


def test_a_file_knows_the_files_beside_it_and_its_own_tables(tmp_path):
    text = (
        HEAD
        + STATION
        + 'observed = "today.csv"\nrecord = { file = "gauge.csv", zone = "UTC", units = "feet", '
        + 'time_column = "when", level_column = "wl" }\nrecord_weather = "weather.csv"\n'
        + "[other]\nx = 1\n"
    )
    path = tmp_path / "shore.toml"
    path.write_text(text, encoding="utf-8")
    file = read_station_file(path, ("other", "none"))
    assert file.path == path
    assert file.observed == {"port": tmp_path / "today.csv"}
    source = file.records["port"]
    assert (source.path, source.weather) == (tmp_path / "gauge.csv", tmp_path / "weather.csv")
    assert (source.unit, source.zone.key, source.fallback.key) == (
        LengthUnit.FEET,
        "UTC",
        "America/Chicago",
    )
    assert (source.time_column, source.level_column) == ("when", "wl")
    assert file.other_tables == {"other": {"x": 1}}
    assert file.own_tables["stations"][0]["id"] == "port"
    assert (file.unread, file.currents) == (frozenset(), ())


def test_weather_of_no_record_and_a_record_of_no_zone(tmp_path):
    assert problems(tmp_path, HEAD + STATION + 'record_weather = "w.csv"\n') == [
        "stations[0].record_weather: found weather of no record; expected a record beside it, whose weather "
        "it is"
    ]
    assert problems(tmp_path, HEAD + STATION + 'record = { file = "g.csv", zone = "Nowhere/Land" }\n') == [
        "stations[0].record.zone: found 'Nowhere/Land'; expected an IANA time zone such as "
        '"America/Chicago"'
    ]
    assert problems(tmp_path, HEAD + STATION + "record = 5\n") == [
        "stations[0].record: found 5; expected a table with file, zone, units, time_column, level_column"
    ]


def test_text_that_is_not_toml(tmp_path):
    (told,) = problems(tmp_path, "title = \n")
    assert told.startswith("file: found text that is not TOML: ")
    assert told.endswith("; expected key = value lines and [[tables]]")
