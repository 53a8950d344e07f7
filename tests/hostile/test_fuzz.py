"""A fixed small set of hostile input for every parser; `long_run` beside this tries as many as one likes."""

import json
import pickle
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError, Problem, UnknownConstituentError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.problems import MOST_PROBLEMS, Here, Problems
from harmonics.files.published.units import TableUnit
from harmonics.records.reader import parse_record
from tests.cli.runs import refused
from tests.hostile.mutations import mutated
from tests.hostile.readers import READERS, try_case
from tests.hostile.seeds import CONSTITUENT_TABLES, EVERY_KEY, IMPORTS, RECORDS, STATION_FILES


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_nothing_but_a_refusal_in_words(tmp_path_factory, reader):
    @settings(max_examples=reader.few)
    @given(st.integers(0, 2**32))
    def check(seed):
        try_case(reader, seed, tmp_path_factory.mktemp("case"))

    check()


def test_a_case_is_the_same_for_the_same_seed_and_most_cases_are_new():
    made = [mutated(STATION_FILES, Random(f"x:{seed}")) for seed in range(200)]
    assert made == [mutated(STATION_FILES, Random(f"x:{seed}")) for seed in range(200)]
    assert len(set(made)) > 150


plain = st.none() | st.booleans() | st.integers(-(10**400), 10**400) | st.floats() | st.text(max_size=20)
documents = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(
                ("name", "amplitude", "phase", "phase_GMT", "phase_local", "speed", "units", "x")
            ),
            inner,
            max_size=6,
        )
    ),
    max_leaves=25,
)


@given(documents)
def test_any_json_is_a_table_or_told(document):
    try:
        import_table(json.dumps(document), "folder/table.json", TableOptions(TableUnit.METRES))
    except FileProblemsError as error:
        assert error.path == "folder/table.json"
        assert error.problems


lines = st.lists(st.text(max_size=30), max_size=6).map("\n".join)


@given(st.sampled_from(("time_utc,level_m", "time;level_ft", "date\ttime\tlevel", "")), lines)
def test_any_text_is_a_record_or_told(header, text):
    try:
        parse_record(f"{header}\n{text}", "folder/levels.csv")
    except FileProblemsError as error:
        assert error.path == "folder/levels.csv"
        assert all(line.isprintable() for line in str(error).split("\n"))


def deep(left: str, right: str, depth: int) -> str:
    return left * depth + "1" + right * depth


HOSTILE = {
    "huge hexadecimal id": ("check", EVERY_KEY.replace(b'id = "pier"', b"id = 0x" + b"f" * 4000)),
    "date for a latitude": ("check", EVERY_KEY.replace(b"latitude = 50.1\n", b"latitude = 2026-08-10\n")),
    "time for a list": ("check", EVERY_KEY.replace(b'["sat", "sun"]', b"01:02:03")),
    "numbers for weekdays": ("check", EVERY_KEY.replace(b'["sat", "sun"]', b"[" + b"1," * 5000 + b"]")),
    "a key of many parts": ("check", b"x = {" + b"a." * 5000 + b"a = 1}"),
    "a name that steers": ("check", EVERY_KEY.replace(b'"table.csv"', rb'"\u001b[2J\u0007\u202e\n.csv"')),
    "a thousand bad tables": ("check", b"stations = [" + b"{}," * 5000 + b"]"),
    "deep brackets": ("check", b"x = " + deep("[", "]", 480).encode()),
    "no CSV": ("import", b"name,amplitude_m," + b"x" * 200_000 + b"\nM2,1,2\n"),
    "a whole number too large": (
        "import",
        b'[{"name": "M2", "phase": 1, "amplitude": 1' + b"0" * 400 + b"}]",
    ),
    "a number too long": ("import", b'[{"name": "M2", "phase": 1, "amplitude": 1' + b"0" * 5000 + b"}]"),
    "a list for a speed": ("import", b'[{"name": "M2", "phase": 1, "amplitude": 1, "speed": [1, 2]}]'),
    "deep JSON": ("import", deep('{"a":', "}", 100_000).encode()),
    "a stamp before the first year": ("fit", b"time,level_m\n0001-01-01T00:00+14:00,1\n"),
    "a stamp after the last": ("fit", b"time_utc,level_m\n9999-12-31 23:59,1\n"),
    "quoted rows too long": ("fit", b'time_utc,level_m\n"2021-01-01 00:00","1","2","3"\n'),
    "a wide header": ("fit", b"time_utc,level_m" + b",x" * 5000 + b"\n1\n"),
    "the wrong encoding": ("fit", RECORDS[0].decode().encode("utf-16")),
    "zeros": ("fit", bytes(1000)),
    "ebcdic": ("import", IMPORTS[0].decode().encode("cp037")),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_the_command_says_what_is_wrong(tmp_path, name):
    command, content = HOSTILE[name]
    path = tmp_path / "hostile.txt"
    path.write_bytes(content)
    (tmp_path / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    message = refused(1, command, path, *(("--units", "metres") * (command != "check")))
    assert message.startswith(f"ebblight: {path}: ")
    assert "expected" in message
    assert all(line.isprintable() for line in message.splitlines())


@pytest.mark.parametrize(
    "error",
    [
        FileProblemsError("shore.toml", (Problem("x", "1", "2"), Problem("y", "3", "4"))),
        UnknownConstituentError("M22", ("M2",)),
    ],
)
def test_an_error_passes_between_processes_whole(error):
    other = pickle.loads(pickle.dumps(error))
    assert type(other) is type(error)
    assert str(other) == str(error)
    assert vars(other) == vars(error)


def test_problems_end_with_the_thousandth():
    problems = Problems("shore.toml")
    for i in range(MOST_PROBLEMS):
        Here(f"x[{i}]", problems).say("1", "2")
    assert len(problems) == MOST_PROBLEMS == 1000
    with pytest.raises(FileProblemsError) as caught:
        Here("y", problems).say("1", "2")
    assert caught.value.problems[:-1] == tuple(problems)
    assert "more problems" in str(caught.value)
