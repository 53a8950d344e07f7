"""Station files: what they come to inside, and every problem of a bad one told at once in plain words."""

import json
import os
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError, printable
from harmonics.files.checking import MAXIMUM_BYTES
from harmonics.files.station_file import read_station_file
from harmonics.stations.tides import levels
from harmonics.stations.types import SecondaryStation, Station
from harmonics.sums.waves import NodePractice
from harmonics.units import LengthUnit
from tests.cli.runs import checked
from tests.examples import examples
from tests.harmonics.conftest import utc

FOOT = 0.3048
HEAD = 'title = "Shore"\ntime_zone = "America/Chicago"\nunits = "metres"\n'
STATION = """
[[stations]]
id = "port"
name = "Port"
latitude = 29.21
longitude = -90.04
datum = "MLLW"
mean_level = 2.0
length_unit = "metres"
constituents = [{ name = "M2", amplitude = 1.0, phase = 40.0 }, { name = "K1", amplitude = 0.5, phase = 9 }]
"""
FOLLOWER = """
[[stations]]
id = "cove"
name = "Cove"
reference = "port"
high_water = { minutes = 35, factor = 0.9, offset = 0.1 }
low_water = { minutes = 52 }
"""
JULY = utc("2026-07-01 00:00") + np.arange(0, 30 * 86400, 3600.0)


@pytest.fixture
def read(tmp_path):
    def from_text(text, newline=None):
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8", newline=newline)
        return read_station_file(path)

    return from_text


@pytest.fixture
def problems(tmp_path):
    """The problems of a file given as text or bytes, as lines."""

    def of(content):
        path = tmp_path / "shore.toml"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return problems_of(path)

    return of


def problems_of(path):
    with pytest.raises(FileProblemsError) as caught:
        read_station_file(path)
    lines = str(caught.value).splitlines()
    found = [str(problem) for problem in caught.value.problems]
    assert lines == [
        f"{printable(str(path))}: {len(found)} problem{'s' * (len(found) != 1)}",
        *(f"  {line}" for line in found),
    ]
    for problem in caught.value.problems:
        assert problem.where
        assert problem.found
        assert problem.expected
    return found


def test_a_file_comes_to_stations_in_metres_and_seconds(read):
    file = read(HEAD + 'invented = true\nnode_factors = "continuous"\n' + STATION + FOLLOWER)
    assert (file.title, file.invented, file.zone.key, file.units) == (
        "Shore", True, "America/Chicago", LengthUnit.METRES,
    )  # fmt: skip
    port, cove = file.stations
    assert isinstance(port, Station)
    assert (port.id, port.latitude, port.longitude, port.datum, port.mean_level) == (
        "port", 29.21, -90.04, "MLLW", 2.0,
    )  # fmt: skip
    assert [c.name for c in port.constants.constituents] == ["M2", "K1"]
    assert port.constants.amplitude.tolist() == [1.0, 0.5]
    assert port.constants.phase_lag.tolist() == [40.0, 9.0]
    assert port.practice is NodePractice.CONTINUOUS
    assert isinstance(cove, SecondaryStation)
    assert cove.reference is port
    assert (cove.high_water.seconds, cove.high_water.factor, cove.high_water.offset) == (2100, 0.9, 0.1)
    assert (cove.low_water.seconds, cove.low_water.factor, cove.low_water.offset) == (3120, 1.0, 0.0)


def test_feet_are_the_same_water_as_metres(read):
    feet = STATION.replace('"metres"', '"feet"')
    for value in ("2.0", "1.0", "0.5"):
        feet = feet.replace(f" {value}", f" {float(value) / FOOT!r}")
    metric, imperial = read(HEAD + STATION).stations[0], read(HEAD + feet).stations[0]
    assert levels(imperial, JULY) == pytest.approx(levels(metric, JULY), abs=1e-12)


def test_local_phases_are_the_same_water_as_greenwich_phases(read):
    """G = g - speed x offset, the speeds of M2 and K1 from Schureman, SP 98, table 2."""
    offset, speeds = -6.0, (28.9841042, 15.0410686)
    local = STATION.replace("phase = 40.0", f"phase = {40.0 + speeds[0] * offset}")
    local = local.replace("phase = 9 ", f"phase = {9.0 + speeds[1] * offset} ")
    local += f'phase = "local"\nutc_offset = {offset}\n'
    found = read(HEAD + local).stations[0]
    assert found.constants.phase_lag == pytest.approx([40.0, 9.0], abs=1e-5)
    assert levels(found, JULY) == pytest.approx(levels(read(HEAD + STATION).stations[0], JULY), abs=1e-6)


@pytest.mark.parametrize("own, metres", [("", FOOT / 10), ('length_unit = "metres"\n', 0.1)])
def test_offsets_are_in_the_table_s_own_unit_or_its_reference_s(read, own, metres):
    text = STATION.replace('"metres"', '"feet"') + FOLLOWER.replace("reference", own + "reference")
    assert read(HEAD + text).stations[1].high_water.offset == pytest.approx(metres)


def test_a_follower_may_stand_before_its_reference(read):
    assert [station.id for station in read(HEAD + FOLLOWER + STATION).stations] == ["cove", "port"]


@pytest.mark.parametrize("prefix, newline", [("\ufeff", None), ("", "\r\n"), ("\ufeff", "\r\n")])
def test_marks_and_line_ends_of_other_systems_are_no_problem(read, prefix, newline):
    assert [item.id for item in read(prefix + HEAD + STATION, newline).stations] == ["port"]


def test_a_station_may_set_its_own_node_practice(read):
    file = read(HEAD + STATION + 'node_factors = "continuous"\n' + FOLLOWER)
    assert file.stations[0].practice is NodePractice.CONTINUOUS
    assert read(HEAD + STATION).stations[0].practice is NodePractice.YEARLY


@pytest.mark.parametrize(
    "old, new, told",
    [
        ('title = "Shore"\n', "", "title: found nothing (the key is missing); expected a text"),
        ('"America/Chicago"', '"America/Chicagoo"', "time_zone: found 'America/Chicagoo'; expected an IANA"),
        ('"America/Chicago"', '"America"', "time_zone: found 'America'; expected an IANA"),
        ('"America/Chicago"', '"../passwd"', "time_zone: found '../passwd'; expected an IANA"),
        ('units = "metres"', 'units = "yards"', "units: found 'yards'; expected \"feet\" or \"metres\""),
        ("latitude = 29.21", "latitude = 95", "[0].latitude: found 95; expected degrees from -90 to 90"),
        ("latitude = 29.21", "latitude = nan", "stations[0].latitude: found nan; expected degrees"),
        ("latitude = 29.21", 'latitude = "29"', "stations[0].latitude: found '29'; expected degrees"),
        ("latitude = 29.21", "latitude = true", "stations[0].latitude: found true; expected degrees"),
        ("longitude = -90.04", "longitude = 181.0", "stations[0].longitude: found 181.0; expected degrees"),
        ("longitude = -90.04\n", "", "stations[0].longitude: found nothing (the key is missing)"),
        ("mean_level = 2.0", "mean_level = inf", "stations[0].mean_level: found inf; expected a height"),
        ('id = "port"', 'id = "p o"', "stations[0].id: found 'p o'; expected 1 to 64 letters"),
        ('id = "port"', "id = [1]", "stations[0].id: found a list of 1; expected 1 to 64 letters"),
        ('name = "Port"', 'name = ""', "stations[0].name: found ''; expected a text"),
        ('name = "Port"', 'name = "a\\nb"', "stations[0].name: found 'a\\nb'; expected a text"),
        ("mean_level", "mean_levle", "stations[0].mean_levle: found an unknown key; expected 'mean_level'?"),
        ('id = "port"', 'id = "port"\n"a b" = 1', 'stations[0]."a b": found an unknown key'),
        ("units =", 'colour = "red"\nunits =', "colour: found an unknown key; expected one of title"),
        ("{ name", "7, { name", "stations[0].constituents[0]: found 7; expected a table with name"),
        ("amplitude = 0.5, ", "", "constituents[1].amplitude: found nothing (the key is missing)"),
        ('name = "K1"', 'name = "K11"', "found unknown constituent 'K11'; expected a known name such as K1"),
        ('constituents = [', 'constituents = "none.csv"\nx = [', "s (none.csv): found no such file"),
        ('constituents = [', 'constituents = ""\nx = [', "[0].constituents: found ''; expected the name"),
        ('constituents = [', 'constituents = 5\nx = [', "[0].constituents: found 5; expected the name"),
        ('"metres"\ncons', '"metres"\nutc_offset = 1\ncons', "utc_offset: found utc_offset without phase"),
        ('"metres"\ncons', '"metres"\nphase = "local"\ncons', "stations[0].utc_offset: found nothing"),
        ('"metres"\ncons', '"metres"\nphase = "local"\nutc_offset = 99\ncons',
         "utc_offset: found 99; expected hours"),
        ('[[stations]]', '[stations]', "stations: found a table; expected [[stations]] tables"),
    ],
)  # fmt: skip
def test_each_problem_names_its_key_what_was_found_and_what_was_expected(problems, old, new, told):
    text = HEAD + STATION
    assert old in text
    assert any(told in line for line in problems(text.replace(old, new, 1)))


@pytest.mark.parametrize(
    "more, told",
    [
        (FOLLOWER.replace('"port"', '"pott"'), "stations[1].reference: found 'pott'; expected the id"),
        (FOLLOWER + FOLLOWER.replace('"cove"', '"bay"').replace('"port"', '"cove"'),
         "stations[2].reference: found 'cove'; expected the id of one of [[stations]] with constituents"),
        (STATION, "stations[1].id: found 'port', the id of stations[0] too; expected an id of its own"),
        (FOLLOWER + FOLLOWER, "stations[2].id: found 'cove', the id of stations[1] too; expected an id"),
        (FOLLOWER.replace('"cove"', '"port"'), "stations[1].id: found 'port', the id of stations[0] too;"),
        (FOLLOWER.replace("factor = 0.9", "factor = 0"), "stations[1].high_water.factor: found 0; expected"),
        (FOLLOWER.replace("minutes = 52", "minuets = 5"), "stations[1].low_water.minuets: found an unknown"),
        (FOLLOWER.replace("low_water = { minutes = 52 }", ""), "stations[1].low_water: found nothing"),
    ],
)  # fmt: skip
def test_problems_of_followers_and_ids(problems, more, told):
    (line,) = problems(HEAD + STATION + more)
    assert line.startswith(told)


def test_every_problem_is_told_at_once_in_the_file_s_order(problems):
    text = HEAD.replace("Chicago", "Nowhere") + STATION.replace("29.21", "95") + STATION.replace("M2", "QQ9")
    text += FOLLOWER.replace('"port"', '"lost"')
    found = problems(text + "\n[[currents]]\nid = 4\n")
    wanted = [
        "time_zone: found 'America/Nowhere'",
        "stations[0].latitude: found 95",
        "stations[1].constituents[0].name: found unknown constituent 'QQ9'",
        "stations[2].reference: found 'lost'",
        "currents[0].id: found 4",
    ]
    places = [next(i for i, line in enumerate(found) if line.startswith(told)) for told in wanted]
    assert places == sorted(places)
    assert len(found) == len(set(found))


NUMBERS = ("1" + "0" * 400, "0x1" + "0" * 9000, "-1" + "0" * 400)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("key", ["latitude = 29.21", "amplitude = 1.0", "phase = 40.0", "mean_level = 2.0"])
def test_numbers_too_large_for_anything_are_told(problems, key, number):
    (line,) = problems(HEAD + STATION.replace(key, f"{key.split(' ')[0]} = {number}", 1))
    assert "found a huge whole number; expected" in line


@pytest.mark.parametrize(
    "content, told",
    [
        (b"", "an empty file"),
        (b"# only a comment\n", "an empty file"),
        (b"\xef\xbb\xbf", "an empty file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "bytes that are not UTF-8 text"),
        (b'title = "a\x00b"', "a binary file"),
        ("title = 'é'".encode("latin-1"), "bytes that are not UTF-8 text"),
        ("title = 'x'".encode("utf-16"), "bytes that are not UTF-8 text"),
        (b"title = ", "text that is not TOML"),
        (b"name,amplitude,phase\nM2,1,2\n", "text that is not TOML"),
        (b"a = 1\na = 2\n", "text that is not TOML"),
        (b"a = " + b"[" * 100_000, "lists and tables nested too deeply"),
        (b"a = " + b"[" * 450 + b"]" * 450, "lists and tables nested too deeply"),
        (b"a = " + b"{ b = " * 21 + b"1" + b" }" * 21, "lists and tables nested too deeply"),
        (b"a." * 21 + b"b = 1", "lists and tables nested too deeply"),
        (b"a." * 200_000 + b"b = 1", "a key nested too deeply"),
        (b"[" + b"a." * 200_000 + b"b]", "a key nested too deeply"),
        (b"a = 1" + b"0" * 5000, "text that is not TOML"),
        (b"#" * (MAXIMUM_BYTES + 1), f"{MAXIMUM_BYTES + 1:,} bytes"),
    ],
    ids=lambda value: str(value)[:24],
)
def test_files_that_are_no_station_file(problems, content, told):
    (line,) = problems(content)
    assert line.startswith(f"file: found {told}")


def test_twenty_lists_and_tables_may_stand_in_one_another_the_file_among_them(problems):
    deepest = b"a = " + b"[" * 19 + b"]" * 19
    assert problems(deepest)[0].startswith("a: found an unknown key")
    assert problems(deepest.replace(b"[]", b"[[]]"))[0].startswith("file: found lists and tables nested")


def test_what_is_no_file_at_all(tmp_path):
    (missing,) = problems_of(tmp_path / "none.toml")
    assert missing.startswith("file: found no such file; expected a TOML file")
    (folder,) = problems_of(tmp_path)
    assert folder.startswith("file: found a folder")
    os.mkfifo(tmp_path / "pipe")
    (pipe,) = problems_of(tmp_path / "pipe")  # nobody ever writes to it: reading would hang
    assert pipe.startswith("file: found something that is not a regular file")
    (long,) = problems_of(tmp_path / ("x" * 5000))
    assert long.startswith("file: found a file that can't be read")
    (null,) = problems_of(Path("a\0b"))
    assert null.startswith("file: found a file that can't be read")


def test_odd_keys_are_quoted_so_that_a_message_stays_one_line(problems):
    (line,) = problems(HEAD + '"\\u001b[31m\\nred" = 1\n')
    assert line.startswith(r'"\u001b[31m\nred": found an unknown key')
    assert re.fullmatch(r"[ -~]+", line)


scalars = st.one_of(
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=8),
    st.sampled_from(("port", "greenwich", "local", "feet")),
)
keys = st.sampled_from(
    (
        "title", "time_zone", "units", "invented", "node_factors", "stations", "currents", "id", "name",
        "latitude", "longitude", "datum", "mean_level", "length_unit", "constituents", "phase", "utc_offset",
        "reference", "high_water", "low_water", "minutes", "factor", "offset", "amplitude", "minutes_by_hour",
        "hours", "flood_direction", "axis_direction", "constituents_across", "flood", "other",
    )
)  # fmt: skip
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=5),
    max_leaves=25,
)


def toml(value) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    if isinstance(value, str):
        return json.dumps(value).replace("\x7f", "\\u007f")
    return str(value).lower() if isinstance(value, bool) else repr(value)


def survives(path, content: bytes) -> None:
    """The command's answer to any content, and the reader's in the same sense."""
    path.write_bytes(content)
    if checked(path):
        assert read_station_file(path, ("spots", "fishing", "banks")).title
    else:
        with pytest.raises(FileProblemsError):
            read_station_file(path)


@examples(60)
@given(st.dictionaries(keys, values, max_size=8))
def test_any_table_is_read_or_its_problems_are_told(tmp_path_factory, table):
    text = "".join(f"{key} = {toml(value)}\n" for key, value in table.items())
    survives(tmp_path_factory.getbasetemp() / "fuzz.toml", text.encode("utf-8", "replace"))


@examples(60)
@given(keys, values, st.integers(0, 40))
def test_any_change_of_one_value_is_read_or_told(tmp_path_factory, key, value, at):
    lines = (HEAD + STATION + FOLLOWER).splitlines()
    place = at % len(lines)
    old = lines[place].partition(" = ")
    lines[place] = f"{old[0] if old[1] else key} = {toml(value)}"
    survives(tmp_path_factory.getbasetemp() / "fuzz.toml", "\n".join(lines).encode("utf-8", "replace"))


@examples(50)
@given(st.binary(max_size=60) | st.text(max_size=60).map(lambda text: text.encode("utf-8", "replace")))
def test_any_bytes_are_read_or_told(tmp_path_factory, content):
    survives(tmp_path_factory.getbasetemp() / "fuzz.toml", content)
