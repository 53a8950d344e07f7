"""Node factors and angles, against Schureman's tables and an independent library."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.arguments import EPOCH, orbit_angles
from harmonics.catalogue.constituents import find, listed
from harmonics.catalogue.nodes import NodeFamily
from harmonics.sums.waves import node_corrections, year_start, yearly_arguments
from tests.conftest import published_rows
from tests.harmonics.conftest import library_rows

TABLE_14 = published_rows("sp98_table14_node_factor_f.csv")
ALSO = {
    "M2": ("N2", "2N2", "LAM2", "MU2", "NU2", "MS4", "2SM2", "MSF"),
    "M4": ("MN4",),
    "O1": ("Q1", "2Q1", "RHO1"),
}
"""Rows that hold for more constituents, from the comment lines of the file."""
CASES = [(name, row) for row in TABLE_14 for name in (row["constituent"], *ALSO.get(row["constituent"], ()))]


@pytest.mark.parametrize(("name", "row"), CASES, ids=[name for name, _ in CASES])
def test_factors_of_schureman_table_14(name, row):
    """Special Publication 98, Table 14: f at the middle of each year 1990-1999, printed to 0.001.

    The table's own longitudes are older than ours; M1, whose factor turns with the perigee, feels it most.
    """
    tolerance = 0.0085 if name == "M1" else 0.004
    years = [key for key in row if key != "constituent"]
    assert len(years) == 10
    factors = [yearly_arguments((find(name),), int(year))[0][0] for year in years]
    assert_allclose(factors, [float(row[year]) for year in years], atol=tolerance, rtol=0)


def test_table_14_covers_every_row():
    assert len(TABLE_14) == 16
    assert len(CASES) == 16 + 12


@pytest.mark.parametrize(
    "family", [family for family in NodeFamily if family not in (NodeFamily.M1, NodeFamily.L2)]
)
def test_factors_average_to_one_over_the_node_cycle(family):
    """Schureman pp. 24-25: the divisors are the mean values of J cos u, so that f cos u averages one."""
    orbit = orbit_angles(EPOCH + np.linspace(0, 18.6134 * 365.25 * 86400, 6801)[:-1])
    mean = np.mean(family.factor(orbit) * np.exp(1j * family.angle(orbit)))
    assert mean.real == pytest.approx(1.0, abs=0.002)
    assert mean.imag == pytest.approx(0.0, abs=0.002)


def test_solar_family_never_moves():
    orbit = orbit_angles(EPOCH + np.linspace(0, 6e8, 50))
    assert np.all(NodeFamily.SOLAR.factor(orbit) == 1)
    assert np.all(NodeFamily.SOLAR.angle(orbit) == 0)


@pytest.mark.parametrize("family", NodeFamily)
def test_corrections_run_on_without_a_jump(family):
    """The fastest, M1 and L2, turn with twice the perigee, once in 4.4 years: below 1 % of a turn a day."""
    orbit = orbit_angles(EPOCH + 86400.0 * np.arange(7000))
    wave = family.factor(orbit) * np.exp(1j * family.angle(orbit))
    assert np.all(family.factor(orbit) > 0)
    assert np.abs(np.diff(wave)).max() < 0.06


COMPOUNDS = ("mk3", "2mk3", "ms4", "mn4", "m4", "m6", "m8", "s4", "2sm2")
LIBRARY_DIFFERS = {"tau1", "beta1", "gamma2", "alpha1"}
"""The library gives these the corrections of other families; no table of Schureman lists them."""


def test_catalogue_agrees_with_an_independent_library():
    """pyTMD in its Schureman mode ("FES"), for each row that it corrects: f to 1e-3, u to 0.02 deg."""
    import pyTMD.constituents

    t = np.array([year_start(year) + 12345.0 * year for year in range(1980, 2010, 3)])
    checked = set()
    for name in (*(row.name.lower() for row in listed()), *COMPOUNDS):
        if name not in library_rows() or name in LIBRARY_DIFFERS:
            continue
        angle, factor, _ = pyTMD.constituents.arguments(
            t / 86400 + 40587, [name], corrections="FES", M1="Schureman"
        )
        ours = find(name)
        solar = all(family is NodeFamily.SOLAR for family, _ in ours.nodes)
        if np.all(factor == 1) and not solar:
            continue  # the library leaves it uncorrected
        f, u = node_corrections((ours,), orbit_angles(t))
        assert_allclose(f[0], factor[:, 0], atol=1e-3, err_msg=name)
        if name == "m1":
            continue  # the library splits M1's argument and angle in another way: Table 15 checks it
        assert_allclose(np.exp(1j * u[0]), np.exp(1j * angle[:, 0]), atol=np.radians(0.02), err_msg=name)
        checked.add(name)
    assert {"m2", "n2", "k1", "o1", "k2", "l2", "m3", "j1", "oo1", "mf", "mm", "eta2", *COMPOUNDS} <= checked
