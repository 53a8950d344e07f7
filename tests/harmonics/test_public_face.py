"""The names that `import harmonics` offers: there, documented, loaded when used; and how they are used."""

import importlib.metadata
import inspect
import re
import subprocess
import sys
from operator import attrgetter
from pathlib import Path

import numpy as np
import pytest

import harmonics
from harmonics import (
    CurrentStation,
    Departure,
    HarmonicConstants,
    Station,
    TwoComponentStation,
    continuity_speeds,
    crossing_uncertainty,
    current_events,
    even_levels,
    even_rates,
    even_set_and_drift,
    find_constituent,
    fit,
    high_low_waters,
    set_and_drift,
    slack_duration,
    tidal_ellipses,
    year_start,
)

REPOSITORY = Path(harmonics.__file__).parents[1]
SOURCE = (REPOSITORY / "harmonics" / "__init__.py").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", harmonics.__all__)
def test_every_public_name_is_its_home_s_and_documented(name):
    found = getattr(harmonics, name)
    assert found.__module__ == harmonics._HOMES[name]
    assert found.__name__ == harmonics._AT_HOME.get(name, name)
    assert inspect.getdoc(found)
    assert name in dir(harmonics)


@pytest.mark.parametrize("name", harmonics.__all__)
def test_types_see_what_programs_get(name):
    own = harmonics._AT_HOME.get(name, name)
    assert f"    from {harmonics._HOMES[name]} import {own} as {name}" in SOURCE
    assert SOURCE.count("    from harmonics.") == len(harmonics.__all__) == len(set(harmonics.__all__))


def test_the_docstring_lists_every_name_and_no_other():
    listed = re.findall(r"`(\w+)`", harmonics.__doc__.partition("- Files:")[2])
    assert sorted(listed) == harmonics.__all__


def test_the_version_is_the_package_s_and_another_name_is_not_there():
    assert harmonics.__version__ == importlib.metadata.version("ebblight")
    with pytest.raises(AttributeError, match="'harmonics' has no attribute 'nothing'"):
        attrgetter("nothing")(harmonics)


def test_a_name_loads_its_own_room_alone():
    code = (
        "import sys, harmonics; assert 'numpy' not in sys.modules; harmonics.LengthUnit; "
        "assert 'numpy' not in sys.modules; harmonics.levels; "
        "assert not {'harmonics.files', 'harmonics.fitting', 'pydantic', 'pandas'} & set(sys.modules); "
        "from harmonics import *; print(read_record.__name__)"
    )
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stdout, run.stderr) == (0, "read_record\n", "")


def constants(**waves):
    return HarmonicConstants(
        tuple(find_constituent(name) for name in waves),
        np.array([amplitude for amplitude, _ in waves.values()]),
        np.array([lag for _, lag in waves.values()]),
    )


class TestExamples:
    """How the public functions are used, each with a water simple enough to reckon by hand.

    S2 has no node factor; its phase lag is 30 degrees for each hour after midnight UTC.
    """

    MIDNIGHT = year_start(2026)

    def test_a_day_of_levels_and_its_high_waters(self):
        pier = Station("pier", "Pier", 50.1, -5.2, "Chart datum", 3.0, constants(S2=(1.5, 90.0)))
        level = even_levels(pier, self.MIDNIGHT, 3600.0, 24)
        assert level[[3, 9, 15, 21]] == pytest.approx([4.5, 1.5, 4.5, 1.5])
        turns = high_low_waters(pier, self.MIDNIGHT, self.MIDNIGHT + 86400.0).turns
        assert (turns.t[turns.high] - self.MIDNIGHT) / 3600.0 == pytest.approx([3.0, 15.0], abs=1e-4)

    def test_constituents_from_a_month_of_levels(self):
        pier = Station("pier", "Pier", 50.1, -5.2, "Chart datum", 3.0, constants(M2=(1.2, 40.0)))
        t = self.MIDNIGHT + 3600.0 * np.arange(30 * 24)
        found = fit(t, even_levels(pier, self.MIDNIGHT, 3600.0, len(t)), names=["M2", "S2"])
        assert found.mean == pytest.approx(3.0)
        assert found.constants().named()["M2"] == pytest.approx((1.2, 40.0))

    def test_how_long_a_slack_lasts(self):
        """6 hours from slack to slack, 1 m/s between them: below half of it an hour before and after each."""
        race = CurrentStation("race", "Race", 50.1, -5.2, 30.0, 210.0, 0.0, constants(S2=(1.0, 0.0)))
        events = current_events(race, self.MIDNIGHT, self.MIDNIGHT + 86400.0)
        slacks = events.t[[kind.is_slack for kind in events.kind]]
        assert np.diff(slacks) == pytest.approx([21600.0] * 3, abs=0.1)
        assert slack_duration(1.0, 21600.0, 0.5) == pytest.approx(2 * 3600.0)

    def test_a_current_that_turns_round(self):
        """North 1 m/s at midnight, east 0.5 m/s three hours later: clockwise, strongest to the north."""
        roads = TwoComponentStation(
            *("roads", "Roads", 50.1, -5.2, 0.0, 90.0, 0.0, 0.0),
            constants(S2=(1.0, 0.0)),
            constants(S2=(0.5, 90.0)),
            flood_direction=0.0,
        )
        towards, drift = even_set_and_drift(roads, self.MIDNIGHT, 3 * 3600.0, 4)
        assert np.mod(towards + 1.0, 360.0) - 1.0 == pytest.approx([0.0, 90.0, 180.0, 270.0], abs=1e-9)
        assert drift == pytest.approx([1.0, 0.5, 1.0, 0.5])
        one_by_one = set_and_drift(roads, self.MIDNIGHT + 600.0 * np.arange(300))
        for even, single in zip(
            even_set_and_drift(roads, self.MIDNIGHT, 600.0, 300), one_by_one, strict=True
        ):
            assert even == pytest.approx(single)
        rows, ellipse = tidal_ellipses(roads)
        assert [row.name for row in rows] == ["S2"]
        assert ellipse.semi_major == pytest.approx([1.0])
        assert ellipse.semi_minor == pytest.approx([-0.5])  # clockwise

    def test_a_creek_through_its_mouth(self):
        """A basin of 60 hectares behind 120 square metres: 5,000 times the rise."""
        sea = Station("sea", "Sea", 50.1, -5.2, "Chart datum", 3.0, constants(S2=(1.0, 90.0)))
        rate = even_rates(sea, self.MIDNIGHT, 3600.0, 7)
        speed = continuity_speeds(rate, basin_area=600_000.0, opening_area=120.0)
        # 2 pi / 12 h on the flood at midnight, slack at high water, the same on the ebb at six
        assert speed[[0, 3, 6]] == pytest.approx(
            5000.0 * 2 * np.pi / 43200.0 * np.array([1, 0, -1]), abs=1e-9
        )

    def test_how_sure_the_time_of_a_level_is(self):
        """Weather of 10 cm where the tide passes mid-level at 2 pi / 12 h metres: 11 minutes either way."""
        sea = Station("sea", "Sea", 50.1, -5.2, "Chart datum", 3.0, constants(S2=(1.0, 90.0)))
        weather = Departure(self.MIDNIGHT - 30 * 86400.0, 0.0, 0.01, 0.1, 36 * 3600.0, False, 4)
        seconds = crossing_uncertainty(weather, sea, [self.MIDNIGHT])
        assert seconds / 60.0 == pytest.approx([0.1 / (2 * np.pi / 43200.0) / 60.0], rel=1e-6)
