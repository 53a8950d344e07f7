"""Which constituents a record tells apart; equilibrium strengths against an independent table."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.catalogue.constituents import find
from harmonics.catalogue.equilibrium import COEFFICIENTS, INFERENCE_PAIRS
from harmonics.errors import EbblightError, UnknownConstituentError
from harmonics.fitting.selection import RAYLEIGH, Inference, candidates, resolve, select
from harmonics.sums.waves import HarmonicConstants

DAY = 86400.0
HOUR = 3600.0


def names(rows):
    return {row.name for row in rows}


def doodson_amplitudes():
    """Doodson's coefficients as utide carries them, by our names; its NO1 is our M1."""
    from utide._ut_constants import ut_constants

    table = ut_constants.const
    found = {}
    for name, value in zip(table.name, table.doodsonamp, strict=True):
        if np.isfinite(value) and value != 0:
            found["M1" if name == "NO1" else find(name).name] = abs(float(value))
    return found


def test_coefficients_agree_with_an_independent_table():
    peers = doodson_amplitudes()
    shared = [name for name in COEFFICIENTS if name in peers and name != "THETA1"]
    assert len(shared) > 30
    for name in shared:
        # S1, MSF and SSA differ in the solar terms that are counted in; the order they give does not.
        assert COEFFICIENTS[name] == pytest.approx(peers[name], rel=0.02), name


def test_theta1_is_as_strong_as_chi1():
    # Doodson 1921, from memory: both 0.00567. utide's table has phi1's 0.00756 for theta1.
    assert COEFFICIENTS["THETA1"] == pytest.approx(COEFFICIENTS["CHI1"], rel=0.01)


# Lengths at which pairs separate, by hand: 360 / (speed difference in degrees an hour) / 24.
@pytest.mark.parametrize(
    ("name", "neighbour", "days"),
    [("S2", "M2", 14.765), ("N2", "M2", 27.555), ("P1", "K1", 182.62), ("K2", "S2", 182.62)],
)
def test_rayleigh_lengths(name, neighbour, days):
    _, left = resolve(10 * DAY, HOUR)
    item = next(item for item in left if item.name == name)
    assert item.neighbour == neighbour
    assert item.days == pytest.approx(days * RAYLEIGH, rel=1e-3)
    before, _ = resolve(0.999 * days * RAYLEIGH * DAY, HOUR)
    after, _ = resolve(1.001 * days * RAYLEIGH * DAY, HOUR)
    assert name not in names(before)
    assert name in names(after)


def test_a_calendar_year_holds_every_constituent_of_the_us_tables(published):
    listed = {find(row["name"]).name for row in published("constituents_8443970.csv")}
    assert listed - names(select(365 * DAY, HOUR).fitted) == set()


def test_a_trend_shuts_out_the_line_of_one_cycle():
    assert "SA" in names(select(365 * DAY, HOUR).fitted)
    fitted = names(select(365 * DAY, HOUR, trend=True).fitted)
    assert "SA" not in fitted
    assert "SSA" in fitted


def test_a_month_infers_from_the_strong_neighbour():
    selection = select(31 * DAY, HOUR)
    by_name = {item.name: item for item in selection.inferred}
    assert by_name["P1"].reference == "K1"
    assert by_name["K2"].reference == "S2"
    assert by_name["NU2"].reference == "N2"
    # Equilibrium ratios as Schureman gives them (from memory): 0.331, 0.272, 0.194.
    assert by_name["P1"].ratio == pytest.approx(0.331, abs=0.001)
    assert by_name["K2"].ratio == pytest.approx(0.272, abs=0.001)
    assert by_name["NU2"].ratio == pytest.approx(0.194, abs=0.005)
    assert all(item.lag == 0 and item.source == "equilibrium" for item in selection.inferred)


def test_ten_days_keep_one_line_a_species_and_infer_the_rest_from_it():
    selection = select(10 * DAY, HOUR)
    fitted = names(selection.fitted)
    assert {"K1", "M2"} <= fitted
    assert not {"Q1", "O1", "S2", "N2", "EPSILON2", "UPSILON1"} & fitted
    chained = next(item for item in selection.inferred if item.name == "Q1")
    assert chained.reference == "K1"
    assert chained.ratio == pytest.approx(0.07216 / 0.53050)


def test_reference_station_replaces_equilibrium_ratios():
    reference = HarmonicConstants((find("K1"), find("P1")), np.array([0.4, 0.1]), np.array([10.0, 355.0]))
    inferred = {item.name: item for item in select(31 * DAY, HOUR, reference=reference).inferred}
    assert inferred["P1"].ratio == pytest.approx(0.25)
    assert inferred["P1"].lag == pytest.approx(-15.0)
    assert inferred["P1"].source == "reference station"
    assert inferred["K2"].source == "equilibrium"


def test_given_inference_wins_whatever_the_length():
    selection = select(365 * DAY, HOUR, inferences=[Inference("p1", "k1", 0.33, 5.0)])
    assert "P1" not in names(selection.fitted)
    assert [(item.name, item.reference, item.ratio) for item in selection.inferred] == [("P1", "K1", 0.33)]


def test_inference_from_a_line_not_fitted_is_refused():
    with pytest.raises(EbblightError, match="P1 can't be inferred from K1: K1 is not fitted"):
        select(31 * DAY, HOUR, names=["M2"], inferences=[Inference("P1", "K1", 0.33)])
    with pytest.raises(EbblightError, match="not fitted"):
        select(31 * DAY, HOUR, inferences=[Inference("P1", "P1", 1.0)])
    with pytest.raises(UnknownConstituentError):
        select(31 * DAY, HOUR, names=["M2", "ZZ9"])


def test_coarse_steps_leave_fast_lines_out():
    fitted, left = resolve(365 * DAY, 4 * HOUR)
    assert "M6" not in names(fitted)
    assert math.isnan(next(item.days for item in left if item.name == "M6"))
    assert all(row.speed < 45.0 for row in fitted)


@given(days=st.floats(7, 2000), minutes=st.sampled_from([6, 10, 60, 120]), trend=st.booleans())
def test_selected_lines_are_apart_and_every_candidate_is_accounted_for(days, minutes, trend):
    fitted, left = resolve(days * DAY, minutes * 60.0, trend)
    speeds = np.sort([row.speed for row in fitted])
    least = 360 * RAYLEIGH / (days * 24)
    assert np.diff(speeds).min() >= least * (1 - 1e-9)
    assert speeds[0] >= least * (2 if trend else 1) * (1 - 1e-9)
    assert names(fitted) | {item.name for item in left} == names(candidates())
    assert names(fitted).isdisjoint(item.name for item in left)


@given(days=st.floats(7, 400))
def test_inferred_lines_hang_on_fitted_ones(days):
    selection = select(days * DAY, HOUR)
    fitted = names(selection.fitted)
    for item in selection.inferred:
        assert item.reference in fitted
        assert item.name not in fitted
        assert find(item.name).species == find(item.reference).species


def test_longer_records_resolve_no_fewer_lines():
    counts = [len(resolve(days * DAY, HOUR)[0]) for days in (7, 14, 15, 29, 60, 180, 190, 365, 800)]
    assert counts == sorted(counts)


def test_pairs_lie_in_one_species():
    for name, reference in INFERENCE_PAIRS.items():
        assert find(name).species == find(reference).species
        assert COEFFICIENTS[name] < COEFFICIENTS[reference]
