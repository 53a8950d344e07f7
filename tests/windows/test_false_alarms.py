"""Real gauges and demos, as published, are neither refused nor worth a look; mistakes in them are.

Constants and datums: NOAA CO-OPS, source lines in tests/published.
"""

from tests.windows.false_alarms import bounds, right, wrong


def test_nothing_is_said_of_files_without_a_mistake():
    found = list(right())
    assert len(found) == 44
    assert [item for item in found if item.refused or item.odd] == []


def test_mistakes_of_real_gauges():
    found = {item.name: item for item in wrong()}
    for name, item in found.items():
        if "west" in name:
            assert "write: longitude = -" in item.refused[0]
        elif "all in feet" not in name:
            assert "stations[0].mean_level" in "".join((*item.refused, *item.odd)), name
    assert sum(bool(item.refused) for item in found.values()) >= 9


def test_bounds_that_go_without_a_prediction_hold_at_every_gauge():
    found = list(bounds())
    assert len(found) == 20
    for _, _, ratio, (low, high) in found:
        assert low < ratio < high
