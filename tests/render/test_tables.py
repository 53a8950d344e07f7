"""Frames as CSV and JSON: what is written reads back to the same values."""

import csv
import io
import json
import math
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.units import LengthUnit
from windows.render.records.tables import header, to_csv, to_json
from windows.render.words import cautions
from windows.shoreline.head import Head

NUMBERS = st.floats(allow_nan=True, allow_infinity=False)
TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20)
"""Control characters never pass the reader of a file."""
FORMULA_STARTS = ("=", "+", "-", "@")


def read_csv(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


@given(st.lists(NUMBERS, min_size=1, max_size=20))
def test_numbers_read_back_to_the_last_bit(numbers):
    (name, *written) = [row[0] for row in read_csv(to_csv(pd.DataFrame({"height_m": numbers, "n": 1})))]
    assert name == "height_m"
    assert [float(cell) if cell else math.nan for cell in written] == pytest.approx(
        numbers, rel=0, abs=0, nan_ok=True
    )


@given(st.lists(TEXTS, min_size=1, max_size=10))
def test_text_reads_back_and_a_formula_is_made_harmless(texts):
    _, *written = [row[0] for row in read_csv(to_csv(pd.DataFrame({"spot_name": texts, "n": 1})))]
    for text, cell in zip(texts, written, strict=True):
        assert cell == (f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text)
        assert not cell.startswith(FORMULA_STARTS)


def test_numbers_are_never_taken_for_formulas():
    text = to_csv(pd.DataFrame({"fall": [-1.5, 2.0], "mixed": pd.Series([-3, "x"], dtype=object)}))
    assert text == "fall,mixed\n-1.5,-3\n2.0,x\n"


def test_the_frame_itself_is_left_as_it_was():
    frame = pd.DataFrame({"spot_name": ["=x"], "n": [1.0]})
    to_csv(frame)
    assert frame["spot_name"].tolist() == ["=x"]


def head(invented: bool = False) -> Head:
    return Head("T", invented, ZoneInfo("Europe/London"), LengthUnit.FEET)


def test_an_empty_frame_is_its_header():
    frame = pd.DataFrame({"a": pd.Series(dtype=float), "b": pd.Series(dtype=str)})
    assert to_csv(frame) == "a,b\n"
    assert json.loads(to_json(frame, {"title": "x"})) == {"title": "x", "rows": []}


@given(st.lists(st.tuples(NUMBERS, TEXTS, st.integers(-(2**53), 2**53), st.booleans()), max_size=10))
def test_json_reads_back_with_null_where_nothing_is_known(records):
    columns = ["number", "text", "count", "flag"]
    found = json.loads(to_json(pd.DataFrame(records, columns=columns), {"title": "Łódź"}))
    assert found["title"] == "Łódź"
    assert len(found["rows"]) == len(records)
    for row, record in zip(found["rows"], records, strict=True):
        assert list(row) == columns
        expected = [None if isinstance(item, float) and math.isnan(item) else item for item in record]
        assert list(row.values()) == expected
        assert [type(item) for item in row.values()][1:] == [str, int, bool]


def test_json_is_strict():
    # RFC 8259 knows neither NaN nor Infinity.
    text = to_json(pd.DataFrame({"x": [np.nan, np.inf, -np.inf, 1.0]}), {})

    def refuse(constant):
        raise AssertionError(constant)

    assert [row["x"] for row in json.loads(text, parse_constant=refuse)["rows"]] == [None, None, None, 1.0]
    with pytest.raises(ValueError, match="JSON"):
        to_json(pd.DataFrame({"x": [1.0]}), {"latitude": math.nan})


@pytest.mark.parametrize(
    ("made_at", "text"),
    [(0.0, "1970-01-01T00:00:00Z"), (59.999, "1970-01-01T00:00:59Z"), (-0.5, "1969-12-31T23:59:59Z")],
)
def test_the_header_s_time_is_the_second_it_was_made_in(made_at, text):
    assert header(head(), made_at)["made_at"] == text


def test_the_header_carries_every_caution_and_the_notice():
    found = header(head(invented=True), 0.0)
    assert found["cautions"] == list(cautions.FULL)
    assert found["notice"] == cautions.INVENTED
    assert header(head(), 0.0)["notice"] is None
    assert json.loads(json.dumps(found)) == found
