"""Tables of tidal ellipses: which words say how their direction is reckoned, and what is no ellipse."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import import_table
from harmonics.files.published.results import ImportedCurrent

HEAD = "Amplitudes in m/s, Greenwich phases\nname,semi-major axis,semi-minor axis,{},phase\n"


def axes(title, row="0.5,0,30,10"):
    """Amplitudes to the east and to the north."""
    found = import_table(HEAD.format(title) + f"M2,{row}\n", "t.txt")
    assert isinstance(found, ImportedCurrent) and found.across is not None
    assert (found.axis_direction, found.across_direction) == (90.0, 0.0)
    return found.along.amplitude[0], found.across.amplitude[0]


def problems(title, *rows):
    with pytest.raises(FileProblemsError) as caught:
        import_table(HEAD.format(title) + "".join(f"{row}\n" for row in rows), "t.txt")
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize(
    "title",
    [
        "direction from east",
        "inclination ccw",
        "inc counterclockwise",
        "Orientation Anticlockwise",
        "inc (math)",
    ],
)
def test_degrees_anticlockwise_from_east(title):
    assert axes(title) == pytest.approx((0.5 * 3**0.5 / 2, 0.25))


@pytest.mark.parametrize("title", ["azimuth", "direction true", "Bearing", "orientation from north"])
def test_degrees_true(title):
    assert axes(title) == pytest.approx((0.25, 0.5 * 3**0.5 / 2))


@pytest.mark.parametrize("title", ["inclination", "direction", "azimuth from east", "inc ccw from north"])
def test_words_that_say_neither_or_both(title):
    assert problems(title, "M2,0.5,0,30,10") == [
        f"line 2: found '{title}', degrees true or degrees anticlockwise from east; expected a title that "
        "says which, such as 'azimuth (deg true)'"
    ]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("0.5,x,30,10", "line 3 amplitude: found 'x'; expected a number from 0 to 100"),
        ("x,0.1,30,10", "line 3 amplitude: found 'x'; expected a number from 0 to 100"),
        ("0.5,0.1,30,x", "line 3 phase: found 'x'; expected a phase lag in degrees from -360 to 720"),
        ("0.5,0.1,x,10", "line 3 azimuth: found no direction; expected degrees"),
    ],
)
def test_one_number_that_is_none(row, told):
    assert told in problems("azimuth", f"M2,{row}", "S2,0.2,0.1,40,20")
    assert told in problems("azimuth", f"M2,{row}")


@pytest.mark.parametrize("row", ["-,0.1,30,10", "0.5,-,30,10"])
def test_an_ellipse_of_which_one_axis_is_missing(row):
    told = problems("azimuth", "S2,0.2,0.1,40,20", f"M2,{row}")
    assert "line 2: found ellipses of which numbers are missing; expected both axes in every row" in told
