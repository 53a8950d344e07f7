"""Positions as people copy them from a chart or a receiver, by sums done by hand."""

import pytest

from harmonics.files.angles import EXAMPLES, typed_angle


@pytest.mark.parametrize(
    ("key", "text", "degrees"),
    [
        ("latitude", "42.36", 42.36),
        ("latitude", " -42 ", -42.0),
        ("latitude", "42° 21.6' N", 42.36),
        ("latitude", "42 21 36 s", -42.36),
        ("latitude", "N 42 21.6", 42.36),
        ("latitude", "90", 90.0),
        ("longitude", "71 3.3 W", -71.055),
        ("longitude", "-71 3.3", -71.055),
        ("longitude", "71°03\u203218\u2033W", -71.055),
        ("longitude", "71.05W", -71.05),
        ("longitude", "\u221271.05", -71.05),
        ("longitude", "180", 180.0),
    ],
)
def test_degrees_and_minutes_are_read(key, text, degrees):
    assert typed_angle(key, text) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("latitude", ""),
        ("latitude", "north"),
        ("latitude", "nan"),
        ("latitude", "42 60"),
        ("latitude", "42 21 60"),
        ("latitude", "42.5 21"),
        ("latitude", "42 21.5 30"),
        ("latitude", "-42 N"),
        ("latitude", "N 42 N"),
        ("latitude", "71.05 W"),
        ("latitude", "90.1"),
        ("latitude", "4221"),
        ("latitude", "42,36"),
        ("longitude", "71.05 N"),
        ("longitude", "179 60"),
        ("longitude", "180 0.1 E"),
    ],
)
def test_what_is_no_angle_is_refused(key, text):
    assert typed_angle(key, text) is None


def test_the_examples_are_angles():
    for key, text in EXAMPLES.items():
        one, other = text.split(" or ")
        assert typed_angle(key, one) == pytest.approx(typed_angle(key, other), abs=1e-9)
