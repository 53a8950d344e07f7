"""Texts of a current, written and read again by plain readers."""

import csv
import tomllib

import pytest

from harmonics.files.current_text import CurrentHead, current_toml, speed_csv
from harmonics.sums.waves import NodePractice
from tests.harmonics.conftest import constants_of

KNOT = 1852.0 / 3600.0
HEAD = CurrentHead("pass", 'The "Pass"', 29.25, -90.5, 312.04, -48.0, 0.25 * KNOT)


def table_of(head, across=None, **options):
    (current,) = tomllib.loads(current_toml(head, "pass.csv", across, **options))["currents"]
    return current


def test_a_current_on_one_axis():
    assert table_of(HEAD) == {
        "id": "pass",
        "name": 'The "Pass"',
        "latitude": 29.25,
        "longitude": -90.5,
        "flood_direction": 312.0,
        "ebb_direction": 312.0,
        "mean_flow": 0.25,
        "constituents": "pass.csv",
        "phase": "greenwich",
    }


def test_a_current_on_two_axes():
    head = CurrentHead("bay", "Bay", 1.0, 2.0, 10.0, 190.0, -0.1 * KNOT, 0.05 * KNOT, (359.96, 450.0))
    found = table_of(head, "across.csv", practice=NodePractice.CONTINUOUS)
    assert "ebb_direction" not in found
    assert (found["axis_direction"], found["across_direction"]) == (0.0, 90.0)
    assert (found["mean_flow"], found["mean_across"]) == (-0.1, 0.05)
    assert (found["constituents"], found["constituents_across"]) == ("pass.csv", "across.csv")
    assert (found["phase"], found["node_factors"]) == ("greenwich", "continuous")


@pytest.mark.parametrize(("axes", "across"), [((10.0, 100.0), None), (None, "across.csv")])
def test_half_of_a_second_axis_is_none(axes, across):
    head = CurrentHead("bay", "Bay", 1.0, 2.0, 10.0, 190.0, axes=axes)
    found = table_of(head, across)
    assert found["ebb_direction"] == 190.0
    assert not {"axis_direction", "mean_across", "constituents_across"} & set(found)


def test_speeds_are_in_knots():
    text = speed_csv(constants_of([("M2", KNOT, 100.0), ("K1", 0.5 * KNOT, 20.5)]), ("made up",))
    comment, *rows = text.splitlines()
    assert comment == "# made up"
    read = list(csv.DictReader(rows))
    assert [(row["name"], float(row["amplitude"]), float(row["phase"])) for row in read] == [
        ("M2", 1.0, 100.0),
        ("K1", 0.5, 20.5),
    ]
