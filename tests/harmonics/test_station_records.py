"""Files that a station names, tables of other rooms, and files that are no TOML."""

from harmonics.files.problems import Problems
from harmonics.files.station_file import collect_stations, read_station_file
from harmonics.units import LengthUnit
from tests.harmonics.test_station_file import FOLLOWER, HEAD, STATION, problems_of


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


def collected(folder, text):
    """What is read of a file with problems, and where they lie."""
    path = folder / "shore.toml"
    path.write_text(text, encoding="utf-8")
    found = Problems(path)
    return collect_stations(path, (), found), [problem.where for problem in found]


def test_a_head_with_problems_is_stood_in_for(tmp_path):
    file, where = collected(tmp_path, 'time_zone = "Nowhere"\nunits = "feet"\ninvented = true\n' + STATION)
    assert sorted(where) == ["time_zone", "title"]
    assert (file.title, file.invented, file.zone.key, file.units) == ("", False, "UTC", LengthUnit.METRES)
    assert [station.id for station in file.stations] == ["port"]


def test_a_zone_with_problems_alone_leaves_the_rest_of_the_head(tmp_path):
    file, where = collected(
        tmp_path, HEAD.replace("America/Chicago", "Nowhere") + "invented = true\n" + STATION
    )
    assert where == ["time_zone"]
    assert (file.title, file.invented, file.zone.key) == ("Shore", True, "UTC")


def test_stations_with_problems_are_left_out_and_known_by_name(tmp_path):
    more = (
        STATION.replace('"port"', '"bay"')
        + FOLLOWER
        + FOLLOWER.replace('"cove"', '"creek"').replace("52", "x")
    )
    text = HEAD + STATION.replace("29.21", "95") + more.replace('reference = "port"', 'reference = "bay"', 1)
    file, where = collected(tmp_path, text.replace("minutes = x", 'minutes = "x"'))
    assert where == ["stations[0].latitude", "stations[3].low_water.minutes"]
    assert [station.id for station in file.stations] == ["bay", "cove"]
    assert file.unread == {"port", "creek"}
    assert [table["id"] for table in file.own_tables["stations"]] == ["port", "bay", "cove", "creek"]
    assert "currents" not in file.own_tables


def test_an_empty_file_is_none(tmp_path):
    assert collected(tmp_path, "# nothing\n") == (None, ["file"])


def test_the_unit_of_the_file_where_a_station_names_none(tmp_path):
    path = tmp_path / "shore.toml"
    for unit, metres in (("feet", 0.3048), ("metres", 1.0)):
        text = HEAD.replace("metres", unit) + STATION.replace('length_unit = "metres"\n', "")
        path.write_text(text, encoding="utf-8")
        (port,) = read_station_file(path).stations
        assert port.mean_level == 2.0 * metres
        assert port.constants.amplitude.tolist() == [metres, 0.5 * metres]
