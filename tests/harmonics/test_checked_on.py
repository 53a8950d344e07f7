"""Tables with problems checked on: what is right in them stays, and the file's own table is left as it is."""

import copy

from harmonics.files.checking import checked_on
from harmonics.files.file_models import CurrentTable, SecondaryTable
from harmonics.files.problems import Here, Problems

STAND_IN = {"reference": "-", "high_water": {}, "low_water": {}, "unknown": 1}
PAIR = {"hours": [0.0, 6.0], "minutes": [10.0, 20.0]}


def left(table, model=SecondaryTable):
    """What is left to go by, and where the problems lie; the table given is not changed."""
    problems = Problems("f")
    before = copy.deepcopy(table)
    found = checked_on(model, table, Here("", problems), STAND_IN)
    assert table == before
    return found, [problem.where for problem in problems]


def cove(**changed):
    return {"id": "a", "reference": "b", "high_water": {"minutes": 5.0}, "low_water": {}} | changed


def test_a_table_without_problems_is_itself():
    found, where = left(cove())
    assert (found.reference, found.high_water.minutes, where) == ("b", 5.0, [])


def test_a_key_that_is_wrong_falls_back_to_what_it_is_without():
    found, where = left(cove(latitude=95.0, high_water={"minutes": "x", "factor": 0.5}))
    assert where == ["latitude", "high_water.minutes"]
    assert (found.latitude, found.high_water.minutes, found.high_water.factor) == (None, 0.0, 0.5)


def test_a_key_that_is_needed_is_stood_in_for():
    table = cove(low_water=5)
    del table["reference"]
    found, where = left(table)
    assert sorted(where) == ["low_water", "reference"]
    assert (found.reference, found.low_water.minutes, found.high_water.minutes) == ("-", 0.0, 5.0)


def test_an_unknown_key_goes():
    found, where = left(cove(colour="red", high_water={"minutes": 5.0, "minuets": 6.0}))
    assert sorted(where) == ["colour", "high_water.minuets"]
    assert found.high_water.minutes == 5.0


def test_of_a_list_nothing_stays_and_of_a_table_too_poor_neither():
    wrong = PAIR | {"minutes": [10.0, "x"]}
    found, where = left(cove(high_water={"minutes": 5.0, "minutes_by_hour": wrong}))
    assert where == ["high_water.minutes_by_hour.minutes[1]"]
    assert (found.high_water.minutes, found.high_water.minutes_by_hour) == (5.0, None)


def test_a_whole_table_is_kept_beside_a_wrong_one():
    found, _ = left(cove(high_water={"minutes_by_hour": PAIR}, low_water={"minutes_by_hour": {"hours": 5}}))
    assert found.high_water.minutes_by_hour.minutes == [10.0, 20.0]
    assert found.low_water.minutes_by_hour is None


def test_what_nothing_stands_in_for_leaves_nothing():
    table = {"id": "a", "latitude": 0.0, "longitude": 0.0, "flood_direction": 400.0, "ebb_direction": 0.0}
    found, where = left(table, CurrentTable)
    assert found is None
    assert sorted(where) == ["constituents", "flood_direction"]


def test_no_table_and_one_of_a_thousand_problems():
    assert left(5) == (None, ["file"])
    assert left(cove(**{f"k{number}": 1 for number in range(1001)})) == (None, ["file"])
