"""Constituent tables, in a CSV or in the file: what is read, and every line that is no good."""

import os
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.files.constituent_tables import MAXIMUM_BYTES, constants_of, rows_of_csv, rows_of_list
from harmonics.files.problems import Here, Problems
from tests.conftest import PUBLISHED, published_rows
from tests.examples import examples

FOOT = 0.3048
WHERE = "stations[0].constituents"


def read_csv(path, unit=1.0, utc_offset=None):
    """Constants of a CSV, and its problems as lines."""
    problems = Problems(path)
    here = Here(WHERE, problems)
    rows = rows_of_csv(path, here)
    constants = None if rows is None else constants_of(rows, here, unit, utc_offset)
    assert (constants is None) == bool(problems)
    return constants, [str(problem) for problem in problems]


@pytest.fixture
def table(tmp_path):
    """Reads a CSV from text or bytes."""

    def read(content, **keys):
        path = tmp_path / "port.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return read_csv(path, **keys)

    return read


@pytest.mark.parametrize("station_id", ["8729840", "8724580", "8443970", "9447130", "1612340", "8638610"])
def test_published_tables_are_read_to_the_last_line(station_id):
    name = f"constituents_{station_id}.csv"
    constants, problems = read_csv(PUBLISHED / name, unit=FOOT)
    assert not problems
    rows = published_rows(name)
    assert len(constants.constituents) == len(rows) >= 30
    assert constants.amplitude == pytest.approx([float(row["amplitude"]) * FOOT for row in rows])
    assert constants.phase_lag == pytest.approx([float(row["phase"]) % 360 for row in rows])


@pytest.mark.parametrize(
    "text",
    [
        "name,amplitude,phase\nM2,1.0,40\nS2,0.5,-20\n",
        "# made up\n\nname,amplitude,phase\n# main\nM2,1.0,40\n\nS2,0.5,-20",
        "\ufeffName, Amplitude ,PHASE\r\n m2 , 1 ,4e1\r\nS2,.5,340\r\n",
        'name,amplitude,phase\n"M2","1.0","40"\nS2,0.5,700\n',
    ],
)
def test_forms_of_one_table(table, text):
    constants, problems = table(text)
    assert not problems
    assert [item.name for item in constants.constituents] == ["M2", "S2"]
    assert constants.amplitude.tolist() == [1.0, 0.5]
    assert constants.phase_lag.tolist() == [40.0, 340.0]


def test_aliases_are_one_constituent(table):
    constants, _ = table("name,amplitude,phase\nLAM2,0.1,0\n")
    assert constants.constituents[0].name == "LAMBDA2"
    _, problems = table("name,amplitude,phase\nLAM2,0.1,0\nM2,1,0\nLDA2,0.2,0\n")
    assert problems == [
        f"{WHERE} (port.csv line 4) name: found LAMBDA2 a second time; expected each name once"
    ]


def test_local_phases_turn_by_the_speed_times_the_offset(table):
    """S2 turns 30 degrees an hour, M2 28.9841042 (Schureman, SP 98, table 2)."""
    constants, _ = table("name,amplitude,phase\nS2,1,0\nM2,1,10\n", utc_offset=-5.0)
    assert constants.phase_lag == pytest.approx([150.0, 10 + 5 * 28.9841042], abs=1e-6)


@pytest.mark.parametrize(
    "lines, told",
    [
        ("M2,one,40", " (port.csv line 2) amplitude: found 'one'; expected a number from 0 to 100"),
        ("M2,1.0,", " (port.csv line 2) phase: found ''; expected a phase lag in degrees"),
        ("M2,nan,40", " (port.csv line 2) amplitude: found nan; expected"),
        ("M2,1,inf", " (port.csv line 2) phase: found inf; expected"),
        ("M2,-0.1,40", " (port.csv line 2) amplitude: found -0.1; expected"),
        ("M2,101,40", " (port.csv line 2) amplitude: found 101.0; expected"),
        ("M2,1,721", " (port.csv line 2) phase: found 721.0; expected"),
        ("M2,1", " (port.csv line 2): found 2 values; expected 3: name,amplitude,phase"),
        ("M2,1,2,3", " (port.csv line 2): found 4 values; expected 3"),
        ("M2,0,5,40", " (port.csv line 2): found 4 values; expected 3"),
        (",1,2", " (port.csv line 2) name: found ''; expected a constituent's name"),
        (
            "XX2,1,2",
            " (port.csv line 2) name: found unknown constituent 'XX2'; expected a known name such as",
        ),
        ("M2,1,2\nM2,1,2", " (port.csv line 3) name: found M2 a second time; expected each name once"),
        ("", ": found no constituents; expected at least one line name,amplitude,phase"),
    ],
)
def test_each_bad_line_is_told(table, lines, told):
    _, problems = table(f"name,amplitude,phase\n{lines}\n")
    assert [line[: len(WHERE + told)] for line in problems] == [WHERE + told]


def test_every_bad_line_is_told_at_once(table):
    _, problems = table("name,amplitude,phase\nM2,x,y\nQQ,1,2\nS2,1\nK1,0.3,20\nO1,-1,999\n")
    assert [line.split(":")[0].removeprefix(f"{WHERE} (port.csv line ") for line in problems] == [
        "4)", "2) amplitude", "2) phase", "3) name", "6) amplitude", "6) phase",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "content, told",
    [
        ("", "found an empty file; expected the header name,amplitude,phase"),
        ("# nothing\n", "found an empty file; expected the header"),
        ("M2,1,2\n", "found 'm2,1,2'; expected the header name,amplitude,phase"),
        ("name;amplitude;phase\nM2;1;2\n", "found 'name;amplitude;phase'; expected the header"),
        ("amplitude,name,phase\n1,M2,2\n", "found 'amplitude,name,phase'; expected the header"),
        (b"\x89PNG\r\n\x1a\n", "found bytes that are not UTF-8 text"),
        (b"name,amplitude,phase\n\0,1,2\n", "found a binary file"),
        (b"#" * (MAXIMUM_BYTES + 1), "found 1,048,577 bytes; expected a constituent table"),
        ("name,amplitude,phase\rM2,1,2\r", "found text that is not CSV"),
        ("name,amplitude,phase\n" + "M" * 200_000 + ",1,2\n", "found text that is not CSV"),
    ],
    ids=lambda value: str(value)[:20],
)
def test_what_is_no_table(table, content, told):
    constants, (line,) = table(content)
    assert constants is None
    assert line.startswith(f"{WHERE} (port.csv): {told}")


def test_what_is_no_file(tmp_path):
    os.mkfifo(tmp_path / "pipe.csv")
    for name, told in (
        ("none.csv", "found no such file"),
        (".", "found a folder"),
        ("pipe.csv", "found something that is not a regular file"),
    ):
        constants, (line,) = read_csv(tmp_path / name)
        assert constants is None
        assert told in line


def read_list(items):
    problems = Problems("shore.toml")
    here = Here(WHERE, problems)
    constants = constants_of(rows_of_list(items, here), here, FOOT, None)
    assert (constants is None) == bool(problems)
    return constants, [str(problem) for problem in problems]


def test_an_inline_list_is_the_same_table():
    constants, problems = read_list([{"name": "M2", "amplitude": 2, "phase": 400.0}])
    assert not problems
    assert constants.amplitude == pytest.approx([2 * FOOT])
    assert constants.phase_lag == pytest.approx([40.0])


@pytest.mark.parametrize(
    "item, told",
    [
        (7, "[0]: found 7; expected a table with name, amplitude, phase"),
        ("M2", "[0]: found 'M2'; expected a table"),
        (
            {"name": "M2", "amplitude": 1},
            "[0].phase: found nothing (the key is missing); expected a phase lag",
        ),
        ({"name": "M2", "amplitude": 1, "phase": 2, "speed": 3}, "[0].speed: found an unknown key"),
        ({"name": 2, "amplitude": 1, "phase": 2}, "[0].name: found 2; expected a constituent's name"),
        ({"name": "M2", "amplitude": True, "phase": 2}, "[0].amplitude: found true; expected"),
        ({"name": "M2", "amplitude": "1", "phase": 2}, "[0].amplitude: found '1'; expected"),
        ({"name": "M2", "amplitude": 10**400, "phase": 2}, "[0].amplitude: found a huge whole number"),
        ({"name": "M2", "amplitude": 1, "phase": -(10**400)}, "[0].phase: found a huge whole number"),
        ({"name": "M2", "amplitude": float("nan"), "phase": 2}, "[0].amplitude: found nan; expected"),
    ],
)
def test_each_bad_item_of_a_list_is_told(item, told):
    _, (line,) = read_list([item])
    assert line.startswith(WHERE + told)


cells = st.one_of(
    st.text(max_size=6), st.floats(), st.integers(), st.booleans(), st.sampled_from(("M2", "K1", "SA"))
)


def assert_an_answer(constants, problems):
    """Constants that a sum can be made of, or every problem in words."""
    assert (constants is None) == bool(problems)
    if constants is not None:
        assert np.isfinite(constants.amplitude).all() and (constants.amplitude >= 0).all()
        assert ((constants.phase_lag >= 0) & (constants.phase_lag <= 360)).all()
        assert len(constants.constituents) == len(constants.amplitude) == len(constants.phase_lag)
    for line in problems:
        assert re.fullmatch(rf"{re.escape(WHERE)}.*: found .*; expected .+", line) and line.isprintable()


@examples(60)
@given(st.lists(st.dictionaries(st.sampled_from(("name", "amplitude", "phase", "x")), cells), max_size=4))
def test_any_list_is_constants_or_problems_in_words(items):
    assert_an_answer(*read_list(items))


@examples(60)
@given(st.text(max_size=60) | st.lists(st.text('M2,K1"\n\r#. -e9', max_size=15), max_size=5).map("\n".join))
def test_any_text_is_constants_or_problems_in_words(tmp_path_factory, text):
    path = tmp_path_factory.getbasetemp() / "fuzz.csv"
    for opening in ("", "name,amplitude,phase\n"):
        path.write_text(opening + text, encoding="utf-8", errors="replace", newline="")
        assert_an_answer(*read_csv(path))
