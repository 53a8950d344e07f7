"""Text that a spreadsheet must not run."""

import pytest

from harmonics.files.spreadsheets import active, inert


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_formula_is_disarmed_and_had_back(start):
    assert inert(f"{start}1") == f"'{start}1"
    assert inert(f"'{start}1") == f"''{start}1"
    assert active(inert(f"{start}1")) == f"{start}1"
    assert active(inert(f"'{start}1")) == f"'{start}1"


@pytest.mark.parametrize("text", ["", "red drum", "'tis 5", "5 = 5", "''", " =1", "X=1", "x-1"])
def test_other_text_stays(text):
    assert inert(text) == active(text) == text
