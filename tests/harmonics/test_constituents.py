"""The catalogue: names, speeds, arguments and compound names."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.arguments import argument_angles
from harmonics.catalogue.constituents import find, listed
from harmonics.catalogue.equilibrium import COEFFICIENTS, SHALLOW_WATER
from harmonics.catalogue.nodes import NodeFamily
from harmonics.sums.waves import year_start
from tests.conftest import PUBLISHED, published_rows
from tests.harmonics.conftest import known, library_rows

US_TABLES = {
    "M2": "28.984104",
    "S2": "30.0",
    "N2": "28.43973",
    "K1": "15.041069",
    "M4": "57.96821",
    "O1": "13.943035",
    "M6": "86.95232",
    "MK3": "44.025173",
    "S4": "60.0",
    "MN4": "57.423834",
    "NU2": "28.512583",
    "S6": "90.0",
    "MU2": "27.968208",
    "2N2": "27.895355",
    "OO1": "16.139101",
    "LAM2": "29.455625",
    "S1": "15.0",
    "M1": "14.496694",
    "J1": "15.5854435",
    "MM": "0.5443747",
    "SSA": "0.0821373",
    "SA": "0.0410686",
    "MSF": "1.0158958",
    "MF": "1.0980331",
    "RHO": "13.471515",
    "Q1": "13.398661",
    "T2": "29.958933",
    "R2": "30.041067",
    "2Q1": "12.854286",
    "P1": "14.958931",
    "2SM2": "31.015896",
    "M3": "43.47616",
    "L2": "29.528479",
    "2MK3": "42.92714",
    "K2": "30.082138",
    "M8": "115.93642",
    "MS4": "58.984104",
}
"""The 37 constituents of the US tables with their speeds in degrees an hour, as NOAA CO-OPS lists them
(from memory)."""

GLOBAL_GAUGE_SETS = (
    "2MK5 2MK6 2MO5 2MS6 2N2 2Q1 2SM2 2SM6 3L2 3N2 EPS2 ETA2 J1 K1 K2 L2 LAMBDA2 LDA2 M1 M2 M3 M4 M6 M8 MA2 "
    "MB2 MF MKS2 MK3 MK4 MM MN4 MO3 MS4 MSF MSK6 MSM MSN2 MSQM MTM MU2 N2 N4 NO1 NU2 O1 OO1 P1 PHI1 PI1 PSI1 "
    "Q1 R2 R3 RHO1 S1 S2 S3 S4 S6 SA SGM SIGMA1 SK3 SK4 SN4 SO1 SO3 SSA T2 T3 TAU1 THETA1 UPS1 CHI1 BETA1"
).split()
"""Names common in sets of constants from gauges over the world (common practice)."""


@pytest.mark.parametrize(("name", "speed"), US_TABLES.items())
def test_speeds_of_the_us_tables(name, speed):
    """To 1e-6 deg/h, or to one unit of the last printed digit where fewer are printed."""
    last_digit = 10.0 ** -len(speed.partition(".")[2])
    tolerance = 1e-6 if last_digit == 0.1 else max(1e-6, last_digit)
    assert find(name).speed == pytest.approx(float(speed), abs=tolerance, rel=0)


def test_us_tables_hold_37_constituents_none_twice():
    assert len({find(name) for name in US_TABLES}) == 37


def test_us_names_stay_as_the_agency_writes_them_or_become_the_canonical_name():
    renamed = {name: find(name).name for name in US_TABLES if find(name).name != name}
    assert renamed == {"LAM2": "LAMBDA2", "RHO": "RHO1"}


@pytest.mark.parametrize("path", sorted(PUBLISHED.glob("*constituents_*.csv")), ids=lambda path: path.stem)
def test_every_published_name_is_known(path):
    names = [row["name"] for row in published_rows(path.name)]
    assert len(names) > 20
    assert len({find(name) for name in names}) == len(names)


@pytest.mark.parametrize("name", GLOBAL_GAUGE_SETS)
def test_names_of_global_gauge_sets(name):
    row = find(name)
    named = int(name[-1]) if name[-1].isdigit() else {"SGM": 1}.get(name, 0)
    assert row.species == named
    assert row.speed == pytest.approx(15 * named, abs=2.6 + 0.2 * named)


@pytest.mark.parametrize("cycles", range(2, 13, 2))
def test_lunar_overtides_to_m12(cycles):
    row = find(f"M{cycles}")
    assert row.speed == pytest.approx(28.984104237 * cycles / 2, abs=1e-6)
    assert row.nodes == ((NodeFamily.M2, cycles // 2),)


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("MS4", {"M2": 1, "S2": 1}),
        ("MN4", {"M2": 1, "N2": 1}),
        ("MK3", {"M2": 1, "K1": 1}),
        ("2MK3", {"M2": 2, "K1": -1}),
        ("2MK5", {"M2": 2, "K1": 1}),
        ("2MK6", {"M2": 2, "K2": 1}),
        ("2SM2", {"S2": 2, "M2": -1}),
        ("MSN2", {"M2": 1, "S2": 1, "N2": -1}),
        ("MKS2", {"M2": 1, "K2": 1, "S2": -1}),
        ("M(KS)2", {"M2": 1, "K2": 1, "S2": -1}),
        ("2MN6", {"M2": 2, "N2": 1}),
        ("2(MN)S6", {"M2": 2, "N2": 2, "S2": -1}),
        ("MO3", {"M2": 1, "O1": 1}),
        ("SO1", {"S2": 1, "O1": -1}),
        ("NO1", {"N2": 1, "O1": -1}),
        ("SK4", {"S2": 1, "K2": 1}),
        ("2MO5", {"M2": 2, "O1": 1}),
        ("4MS10", {"M2": 4, "S2": 1}),
        ("MNUS2", {"M2": 1, "NU2": 1, "S2": -1}),
        ("M10", {"M2": 5}),
        ("N4", {"N2": 2}),
        ("S6", {"S2": 3}),
        ("K4", {"K2": 2}),
        ("M5", {"M3": 1, "M2": 1}),
    ],
)
def test_compound_names_are_the_sums_of_their_parts(name, parts):
    """Reading of the names: common practice among hydrographic offices."""
    row = find(name)
    total = sum(np.array(find(part).argument) * multiple for part, multiple in parts.items())
    assert row.argument == tuple(total)
    assert row.quarter_turns == sum(find(part).quarter_turns * multiple for part, multiple in parts.items())
    assert row.speed == pytest.approx(sum(find(part).speed * n for part, n in parts.items()), abs=1e-12)


PARTS_OF_NAMES = {
    "LAMBDA": "LAMBDA2",
    "NU": "NU2",
    "MU": "MU2",
    "RHO": "RHO1",
    "OO": "OO1",
    "S": "S2",
    "N": "N2",
    "L": "L2",
    "T": "T2",
    "R": "R2",
    "O": "O1",
    "P": "P1",
    "Q": "Q1",
    "J": "J1",
}
"""What a letter of a compound stands for (common practice)."""


@pytest.mark.parametrize(("letter", "name"), PARTS_OF_NAMES.items())
def test_each_letter_adds_its_own_line(letter, name):
    part = find(name)
    compound = find(f"M{letter}{2 + part.species}")
    assert compound.argument == tuple(np.array(find("M2").argument) + part.argument)
    assert find(f"S{letter}{2 + part.species}").name == f"S{letter}{2 + part.species}"


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("M7", {"M2": 3, "N2": 1, "O1": -1}),
        ("S5", {"S3": 1, "S2": 1}),
        ("MK4", {"M2": 1, "K2": 1}),
        ("2(MS)N10", {"M2": 2, "S2": 2, "N2": 1}),
        ("3(2MS2N)30", None),
        ("M14", {"M2": 7}),
        ("M16", None),
        ("7MS16", None),
        ("6MS14", {"M2": 6, "S2": 1}),
        ("MSNKOP10", {"M2": 1, "S2": 1, "N2": 1, "K2": 1, "O1": 1, "P1": 1}),
        ("MSNKOPQ11", None),
        ("L4", None),
        ("K2", {"K2": 1}),
        ("MM4", {"M2": 2}),
        ("2MN2S2", {"M2": 2, "N2": 1, "S2": -2}),
    ],
)
def test_odd_names_and_the_ends_of_what_is_read(name, parts):
    """M5, M7 and S5 as the hydrographic list has them; 14 cycles a day and six parts are the most."""
    if parts is None:
        assert not known(name)
        return
    total = sum(np.array(find(part).argument) * multiple for part, multiple in parts.items())
    assert find(name).argument == tuple(total)


def test_node_factors_of_a_part_that_counts_negative_still_multiply():
    """Schureman p. 46: 2MK3 takes f(M2)^2 f(K1), and u = 2 u(M2) - u(K1)."""
    assert dict(find("2MK3").nodes) == {NodeFamily.M2: 2, NodeFamily.K1: -1}
    assert sorted(find("MSN2").nodes, key=lambda node: node[1])[0] == (NodeFamily.M2, -1)
    assert sum(abs(power) for family, power in find("MSN2").nodes if family is NodeFamily.M2) == 2


SPEED_DIFFERS = {
    "m1": "ours advances with the perigee of its node angle, as the agencies list it",
    "3n2": "ours is the moon's third-degree tide that gauge sets list beside 3L2",
    "2k2": "ours is K1 twice, the library's 2 K2 - M2",
    "2ko3": "ours is 2 K1 + O1, the library's 2 K2 - O1",
    "3ks4": "ours is 3 K2 - S2, the library's 3 K1 + S1",
    "nks5": "ours is N2 + K1 + S2, the library's N2 + K2 + S1",
    "2mns4": "the library's row is that of 2MNUS4",
    "2jk3": "the library's row is not the sum of its parts",
    "2nkms5": "the library's row is not the sum of its parts",
    "nsk5": "the library's row is not the sum of its parts",
    "4msn8": "the library's row is not the sum of its parts",
}
ARGUMENT_DIFFERS = {
    "kj2": "an alias of eta2 here, as in Schureman's Table 2; half a turn away as K1 + J1",
    "m3": "half a turn: ours is Schureman's, Table 15 checks it",
    "nk3": "the library's row lacks K1's quarter turn",
    "2ook1": "the library's row is half a turn from the sum of its parts",
    "2(kj)4": "the library's row is half a turn from the sum of its parts",
    "snk5": "the library's row is half a turn from the sum of its parts",
    "2t4": "the library's row lacks the sun's perigee once",
    "2r4": "the library's row lacks the sun's perigee once",
}


BOTH_KNOW = sorted(name for name in library_rows() if known(name))


def test_arguments_agree_with_an_independent_library():
    """pyTMD's table of arguments, every name that both know: V to 0.01 deg and speed to 1e-5 deg/h."""
    import pyTMD.constituents

    assert len(BOTH_KNOW) > 300
    assert {name for name in (*SPEED_DIFFERS, *ARGUMENT_DIFFERS) if name not in BOTH_KNOW} == set()
    times = np.array([year_start(1990), year_start(2026) + 1e7])
    worse_speed, worse_argument = set(), set()
    for name in BOTH_KNOW:
        row = find(name)
        library = float(np.degrees(pyTMD.constituents.frequency([name])[0]) * 3600)
        if abs(row.speed - library) > 1e-5:
            worse_speed.add(name)
            continue
        _, _, theirs = pyTMD.constituents.arguments(
            times / 86400 + 40587, [name], corrections="FES", climate_solar_perigee=True
        )
        apart = np.mod(row.equilibrium_argument(argument_angles(times)) - theirs[:, 0] + 180, 360) - 180
        if np.abs(apart).max() > 0.01:
            worse_argument.add(name)
    assert worse_speed == set(SPEED_DIFFERS)
    assert worse_argument == set(ARGUMENT_DIFFERS)


def test_listed_rows_come_in_order_of_speed_and_find_themselves():
    rows = listed()
    assert len(rows) > 50
    assert list(rows) == sorted(rows, key=lambda row: row.speed)
    assert all(find(row.name) is row for row in rows)


def test_equilibrium_argument_takes_any_shape():
    t = year_start(2026) + np.arange(6.0).reshape(2, 3)
    argument = find("M1").equilibrium_argument(argument_angles(t))
    assert argument.shape == (2, 3)
    assert_allclose(np.diff(argument[0]) * 3600, find("M1").argument_speed, rtol=1e-6)


def test_no_two_rows_are_one_line_of_the_tide():
    arguments = [(row.argument, row.quarter_turns) for row in listed()]
    assert len(set(arguments)) == len(arguments)


def test_lines_to_choose_from_are_named_as_in_the_catalogue():
    assert [name for name in (*COEFFICIENTS, *SHALLOW_WATER) if find(name).name != name] == []
