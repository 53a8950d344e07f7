"""The light that a moment, and a stretch, is named by."""

import numpy as np
import pytest

from windows.forecast.light import LightLabel, label_of, labels_of


@pytest.mark.parametrize(
    "altitude, label",
    [
        (-7, LightLabel.DARK),
        (-6, LightLabel.LOW),
        (0, LightLabel.LOW),
        (6, LightLabel.LOW),
        (7, LightLabel.DAY),
    ],
)
def test_labels(altitude, label):
    assert label_of(altitude) is label


@pytest.mark.parametrize(
    "altitudes, labels",
    [
        ([10.0] * 3, ["daylight"]),
        ([10.0, 10.0, 0.0], ["daylight", "low light"]),
        ([0.0, -7.0, -8.0], ["low light", "dark"]),
        ([-7.0, -8.0, 0.0], ["dark", "low light"]),
        ([10.0, 10.0, 10.0, 0.0], ["daylight"]),
        ([0.0, 10.0, 10.0, 0.0, -7.0], ["low light", "daylight"]),
    ],
)
def test_a_stretch_is_named_by_most_of_its_minutes_and_by_two_where_both_have_a_third(altitudes, labels):
    assert [label.value for label in labels_of(np.array(altitudes))] == labels
