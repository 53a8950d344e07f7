"""Chop against the table of the trade's evidence and a library that has the same formulas."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from windows.conditions.chop import chop_of, shore_protection_manual, young_verhagen
from windows.shoreline.exposure import Exposure

TABLE = [
    (6.0, 2000.0, 2.0, 0.128, 1.52, 0.14),
    (8.0, 5000.0, 2.0, 0.248, 2.14, 0.28),
    (10.0, 14000.0, 3.0, 0.465, 2.95, 0.53),
    (15.0, 14000.0, 3.0, 0.660, 3.39, 0.75),
]
"""Wind m/s, fetch m, depth m; Hm0 m and Tp s computed from Young and Verhagen's formulas; m by the Shore
Protection Manual's shallow-water curves."""
ALL_ROUND = Exposure(0.0, 360.0, 5000.0, 2.0)


@pytest.mark.parametrize(("wind", "fetch", "depth", "height", "period", "manual"), TABLE)
def test_worked_values(wind, fetch, depth, height, period, manual):
    found, seconds = young_verhagen(wind, fetch, depth)
    assert found == pytest.approx(height, abs=0.0006)
    assert seconds == pytest.approx(period, abs=0.006)
    assert shore_protection_manual(wind, fetch, depth) == pytest.approx(manual, abs=0.006)


@given(wind=st.floats(1.0, 35.0), fetch=st.floats(100.0, 60_000.0), depth=st.floats(0.3, 20.0))
def test_a_library_of_coastal_formulas_agrees(wind, fetch, depth):
    import scientimate

    peer = scientimate.parametricwaveshallow(
        np.array([wind]), np.array([fetch]), np.array([depth]), "young", "no"
    )
    height, period = young_verhagen(wind, fetch, depth)
    assert height == pytest.approx(float(peer[0][0]), rel=0.01)
    assert period == pytest.approx(float(peer[1][0]), rel=0.01)
    manual = scientimate.parametricwaveshallow(
        np.array([wind]), np.array([fetch]), np.array([depth]), "spmshallow", "no"
    )
    assert shore_protection_manual(wind, fetch, depth) == pytest.approx(float(manual[0][0]), rel=0.01)


@given(wind=st.floats(0.6, 30.0), more=st.floats(1.0, 2.0))
def test_more_wind_never_makes_less_chop(wind, more):
    found = chop_of([ALL_ROUND], np.array([wind, wind * more]), np.zeros(2))
    assert found.low[0] <= found.low[1] + 1e-12
    assert found.high[0] <= found.high[1] + 1e-12
    assert (found.low <= found.high).all()


class TestSectors:
    def test_wind_off_the_land_makes_none(self):
        found = chop_of(
            [Exposure(120.0, 210.0, 14000.0, 3.0)], np.full(4, 10.0), [119.0, 120.0, 210.0, 211.0]
        )
        assert (found.high > 0).tolist() == [False, True, True, False]
        assert found.low[1] == pytest.approx(0.465, abs=0.001)
        assert np.isnan(found.period).tolist() == [True, False, False, True]

    def test_a_sector_over_north(self):
        sector = Exposure(330.0, 40.0, 2000.0, 2.0)
        assert sector.holds(np.array([329.0, 330.0, 0.0, 360.0, 40.0, 41.0])).tolist() == [
            False,
            True,
            True,
            True,
            True,
            False,
        ]

    def test_all_round(self):
        assert ALL_ROUND.holds(np.array([0.0, 123.0, 359.9])).all()
        assert Exposure(10.0, 10.0, 1.0, 1.0).holds(np.array([0.0, 9.9, 200.0])).all()

    def test_the_roughest_of_sectors_that_overlap_counts(self):
        rough, smooth = Exposure(0.0, 180.0, 14000.0, 3.0), Exposure(90.0, 270.0, 500.0, 3.0)
        one = chop_of([rough], [10.0], [135.0])
        for order in ([rough, smooth], [smooth, rough]):
            assert chop_of(order, [10.0], [135.0]).high == one.high

    def test_unknown_wind_is_unknown_chop_and_a_calm_is_none(self):
        found = chop_of([ALL_ROUND], [np.nan, 10.0, 0.0, 10.0], [90.0, np.nan, np.nan, 90.0])
        assert np.isnan(found.high).tolist() == [True, True, False, False]
        assert found.high[2] == 0.0

    def test_a_sheltered_spot_has_none(self):
        assert not chop_of([], [12.0], [90.0]).high.any()
