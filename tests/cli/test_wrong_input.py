"""Wrong input: exit 1, plain words on standard error that name file, key, found and expected; all at once."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli.runs import document, done, refused, rows, run
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, simple, written

PLANS = ("week", "best", "compare")
COMMANDS = (*PLANS, "tides", "levels", "sky", "check")
PROBLEM = re.compile(r"  (?P<where>\S+.*?): found (?P<found>.+?); expected (?P<expected>.+)")
SECONDARY = """
[[stations]]
id = "cove"
name = "Cove"
reference = "nowhere"
high_water = { minutes = 18, factor = 1.06 }
low_water = { minutes = 4, factor = 0.83 }
"""


def problems(path, command="check") -> dict[str, tuple[str, str]]:
    """Key path to what was found and expected, from the message; its first line names file and number."""
    first, *others = refused(1, command, path).splitlines()
    assert first.startswith(f"ebblight: {path}: {len(others)} problem")
    found = [PROBLEM.fullmatch(line) for line in others]
    assert all(found), others
    return {match["where"]: (match["found"], match["expected"]) for match in found if match}


def changed(folder, old, new):
    """The simple shoreline with one piece of its text changed."""
    text = head("Europe/London") + SIMPLE_STATION + SIMPLE_SPOT
    assert text.count(old) >= 1, old
    return written(folder, text.replace(old, new, 1))


CASES = [
    # what to change, into what, where, part of what is found, part of what is expected
    ('name = "M2"', 'name = "M22X"', "stations[0].constituents", "M22X", "M2"),
    ("latitude = 50.1\n", "", "stations[0].latitude", "missing", "degrees"),
    ("latitude = 50.1", "latitude = 95", "stations[0].latitude", "95", "-90 to 90"),
    ("latitude = 50.11", 'latitude = "north"', "spots[0].latitude", "north", "-90 to 90"),
    ("longitude = -5.21", "longitude = 181", "spots[0].longitude", "181", "-180 to 180"),
    ("mean_level = 2.0", 'mean_level = "2 m"', "stations[0].mean_level", "2 m", "height"),
    ("mean_level = 2.0", "mean_level = nan", "stations[0].mean_level", "nan", "height"),
    ("mean_level = 2.0", "mean_level = true", "stations[0].mean_level", "true", "height"),
    ('"Europe/London"', '"Europe/Atlantis"', "time_zone", "Europe/Atlantis", "IANA"),
    ('"Europe/London"', '"../../etc/passwd"', "time_zone", "../../etc/passwd", "IANA"),
    ('units = "metres"', 'units = "fathoms"', "units", "fathoms", "feet"),
    ('length_unit = "metres"', 'length_unit = "cm"', "stations[0].length_unit", "cm", "metres"),
    ('datum = "Chart datum"', 'datum = ""', "stations[0].datum", "''", "1 to 200"),
    ('name = "Pier"', r'name = "Pi\u001b[31mer"', "stations[0].name", r"\x1b", "one line"),
    ('name = "Pier"', r'name = "Pi\u0000er"', "stations[0].name", r"\x00", "one line"),
    ('name = "Pier"', r'name = "Pi\ner"', "stations[0].name", r"\n", "one line"),
    ('name = "Pier"', r'name = "Pi\u009ber"', "stations[0].name", r"\x9b", "one line"),
    ('id = "ledge"', 'id = "the ledge"', "spots[0].id", "the ledge", "letters"),
    ('station = "pier"', 'station = "quay"', "spots[0].station", "quay", "pier"),
    ("slack_lag = 15", "slack_lagg = 15", "spots[0].slack_lagg", "unknown key", "slack_lag"),
    ("slack_lag = 15", "slack_lag = 1000", "spots[0].slack_lag", "1000", "-360 to 360"),
    ("slack_lag = 15", 'hours = "late"', "spots[0].hours", "late", "any"),
    ("slack_lag = 15", 'session = "10min"', "spots[0].session", "10min", "30min"),
    ("slack_lag = 15", 'days = ["caturday"]', "spots[0].days", "caturday", "sat"),
    ("slack_lag = 15", 'light = "dim"', "spots[0].light", "dim", "night"),
    ("slack_lag = 15", "least_level = 3.0\ngreatest_level = 2.0", "spots[0].greatest_level", "2", "3"),
    (
        "slack_lag = 15",
        "points = { flow = 60, light = 30, moon = 5 }",
        "spots[0].points",
        "= 95",
        "sum to 100",
    ),
]


@pytest.mark.parametrize(("old", "new", "where", "found", "expected"), CASES)
def test_a_problem_names_key_found_and_expected(tmp_path, old, new, where, found, expected):
    told = problems(changed(tmp_path, old, new))
    (key,) = [key for key in told if key.startswith(where)]
    assert found in told[key][0]
    assert expected in told[key][1]
    assert len(told) == 1


def test_points_of_the_whole_file_that_do_not_sum_to_100(tmp_path):
    path = simple(tmp_path, more=["[fishing]\npoints = { flow = 60, light = 35, moon = 10 }\n"])
    ((found, expected),) = problems(path).values()
    assert "105" in found
    assert "100" in expected


def test_an_unknown_constituent_hears_near_names(tmp_path):
    message = refused(1, "tides", changed(tmp_path, 'name = "M2"', 'name = "LAMDA2"'))
    assert "LAMDA2" in message
    assert "LAMBDA2" in message or "LAM2" in message


def test_a_secondary_whose_reference_is_missing(tmp_path):
    told = problems(written(tmp_path, head(), SIMPLE_STATION, SECONDARY, SIMPLE_SPOT))
    found, expected = told["stations[1].reference"]
    assert "nowhere" in found
    assert "pier" in expected


def test_every_problem_at_once_and_the_same_for_every_command(tmp_path):
    text = head("Mars/Olympus", "cubits") + SIMPLE_STATION + SECONDARY + SIMPLE_SPOT
    text = text.replace("latitude = 50.1\n", "latitude = 95\n").replace('"S2"', '"S2Q9"')
    text = text.replace("slack_lag = 15", 'lag = 15\nlight = "dim"')
    text += "[fishing]\npoints = { flow = 1, light = 2, moon = 3 }\n"
    path = written(tmp_path, text)
    told = problems(path)
    for where in (
        *("time_zone", "units", "stations[0].latitude", "stations[0].constituents", "stations[1].reference"),
        *("spots[0].lag", "spots[0].light", "fishing.points"),
    ):
        assert [key for key in told if key.startswith(where)], (where, told)
    messages = {refused(1, command, path) for command in COMMANDS}
    assert len(messages) == 1


NO_FILES = {
    "empty": b"",
    "blank": b"\n\n# nothing\n",
    "binary": bytes(range(256)),
    "zeros": b"\0" * 100,
    "picture": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    "utf16": 'title = "x"'.encode("utf-16"),
    "latin1": 'title = "Caf\xe9"'.encode("latin-1"),
    "prose": b"Low water is at six.\n",
    "half a table": b"[[stations]\nid = 1",
    "escape": b'title = "\x1b[31m"\n',
    "key twice": b'title = "a"\ntitle = "b"\n',
    "brackets": b"a = " + b"[" * 5000,
    "dots": b".".join([b"a"] * 5000) + b" = 1",
    "huge number": b"title = " + b"9" * 5000,
    "a list": b"stations = 3\n",
    "words for tables": b'stations = ["pier"]\nspots = ["ledge"]\nfishing = 3\n',
}


@pytest.mark.parametrize("name", NO_FILES)
@pytest.mark.parametrize("command", ["check", "week", "tides"])
def test_a_file_that_is_none(tmp_path, name, command):
    path = tmp_path / "shore.toml"
    path.write_bytes(NO_FILES[name])
    message = refused(1, command, path)
    assert str(path) in message
    assert "expected" in message
    assert message.isprintable() or all(line.isprintable() for line in message.splitlines())
    assert len(message) < 3000


@pytest.mark.parametrize("command", COMMANDS)
def test_no_such_file_and_a_folder(tmp_path, command):
    message = refused(1, command, tmp_path / "none.toml")
    assert "no such file" in message
    assert "none.toml" in message
    if command == "check":  # the one whose results of a folder may go to the screen
        assert "expected files named *.toml" in refused(1, command, tmp_path)
    else:
        assert "name a folder for the results" in refused(2, command, tmp_path)


def test_a_device_and_a_name_too_long(tmp_path):
    assert "not a regular file" in refused(1, "check", "/dev/null")
    assert "can't be read" in refused(1, "check", tmp_path / ("x" * 5000))


class TestConstituentTables:
    @pytest.fixture
    def table(self, tmp_path):
        def with_table(text: bytes | None):
            start = SIMPLE_STATION.index("constituents")
            path = written(tmp_path, head(), SIMPLE_STATION[:start], 'constituents = "table.csv"\n')
            if text is not None:
                (tmp_path / "table.csv").write_bytes(text)
            return path

        return with_table

    def test_a_good_one(self, table):
        path = table(b"# source\nname,amplitude,phase\nM2,1.5,130\nS2,0.5,175\n")
        assert rows("tides", path)

    @pytest.mark.parametrize(
        ("text", "word"),
        [
            (None, "no such file"),
            (b"", "empty"),
            (b"# nothing\n", "expected"),
            (b"name,amplitude,phase\n", "expected"),
            (b"constituent,height,lag\nM2,1,2\n", "name,amplitude,phase"),
            (b"name,amplitude,phase\nM2,1.5\n", "line 2"),
            (b"name,amplitude,phase\nM2,tall,130\n", "tall"),
            (b"name,amplitude,phase\nM2,-1,130\n", "-1"),
            (b"name,amplitude,phase\nM2,nan,130\n", "nan"),
            (b"name,amplitude,phase\nM2,1,1e400\n", "phase: found inf"),
            (b"name,amplitude,phase\nM2,1,2\nM2,1,2\n", "M2"),
            (b"name,amplitude,phase\nQQ9,1,2\n", "QQ9"),
            (bytes(range(256)), "UTF-8"),
        ],
    )
    def test_a_bad_one_is_named(self, table, text, word):
        path = table(text)
        message = refused(1, "tides", path)
        assert str(path) in message
        assert word in message
        assert "table.csv" in message or "constituents" in message

    def test_every_bad_line_at_once(self, table):
        message = refused(1, "tides", table(b"name,amplitude,phase\nQQ9,1,2\nM2,tall,2\nS2,1,far\n"))
        assert all(word in message for word in ("QQ9", "tall", "far"))


class TestOutsideTheEphemeris:
    """DE421 covers 29 July 1899 to 7 October 2053."""

    @pytest.mark.parametrize("command", PLANS)
    @pytest.mark.parametrize("start", ["1850-06-01", "1899-07-20", "2053-10-07", "2100-01-01", "2999-12-31"])
    def test_no_windows(self, tmp_path, command, start):
        path = simple(tmp_path)
        message = refused(1, command, path, "--start", start)
        assert "1899-07-29" in message
        assert "2053-10-07" in message

    @pytest.mark.parametrize("command", ["tides", "levels"])
    @pytest.mark.parametrize("start", ["1000-01-01", "1850-06-01", "2053-10-07", "2100-01-01", "2999-12-31"])
    def test_water_of_any_year(self, tmp_path, command, start):
        path = simple(tmp_path, "UTC")
        step = ("--step", "6h") if command == "levels" else ()
        found = rows(command, path, "--start", start, "--days", "3", *step)
        assert len(found) in (11, 12)
        assert all(-0.1 < float(row["height_m"]) < 4.2 for row in found)
        assert found[0]["time_utc"].startswith(start)

    @pytest.mark.parametrize("start", ["1850-06-01", "2100-06-01"])
    def test_the_sun_alone_and_a_line_that_says_so(self, tmp_path, start):
        path = simple(tmp_path, "UTC")
        result = run("sky", path, "--start", start, "--days", "3", "--format", "csv")
        assert result.code == 0
        (line,) = result.err.splitlines()
        assert "approximate" in line
        assert "1899-07-29" in line
        body = [row.split(",")[3] for row in result.out.splitlines()[1:]]
        assert set(body) == {"sun"}
        # In June at 50 N the sun rises about 4:10 UTC at 5 W and sets about 20:30 (common knowledge of the
        # place's almanacs, from memory), each within a quarter of an hour.
        times = {row.split(",")[4]: row.split(",")[1][11:16] for row in result.out.splitlines()[1:]}
        assert "03:55" < times["rise"] < "04:25"
        assert "20:15" < times["set"] < "20:45"
        text = run("sky", path, "--start", start, "--days", "3")
        assert text.code == 0
        assert "approximate" in text.err


def test_a_day_without_a_window_is_an_answer(tmp_path):
    path = simple(tmp_path, more=['[fishing]\nhours = "03:00-03:20"\n'])
    for command in PLANS:
        text = done(command, path, "--days", "2")
        assert "without a window" in text.lower() or "no window" in text.lower()
        assert document(command, path, "--days", "2")["rows"] == []


LINES = (head() + SIMPLE_STATION + SIMPLE_SPOT).splitlines()
VALUES = (
    *('""', "0", "-1", "1e308", "nan", "inf", "true", "[]", "{}", '"x"', '"any"', "2026-08-10", "[[[]]]"),
    *("9" * 400, r'"\u202e"', "[1, 'a']", "{ a = { b = 1 } }"),
)


@given(st.integers(0, len(LINES) - 1), st.sampled_from(VALUES))
def test_any_value_anywhere_is_told_or_taken(tmp_path_factory, index, value):
    lines = list(LINES)
    key, equals, _ = lines[index].partition(" = ")
    if not equals or lines[index].startswith(" "):
        return
    lines[index] = f"{key} = {value}"
    path = written(tmp_path_factory.mktemp("any"), "\n".join(lines))
    for command in ("check", "tides"):
        result = run(command, path)
        assert result.code in (0, 1)
        assert (result.out == "") == (result.code == 1)
        assert result.code == 0 or str(path) in result.err
