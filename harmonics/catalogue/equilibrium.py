"""How strong each line of the equilibrium tide is, and the shallow-water lines worth looking for.

Source: A. T. Doodson, The harmonic development of the tide-generating potential, Proc. R. Soc. A 100 (1921),
coefficients from memory; the tests hold them against the table an independent library carries.
"""

COEFFICIENTS: dict[str, float] = {
    "MF": 0.15642,
    "MM": 0.08254,
    "SSA": 0.07287,
    "MTM": 0.02995,
    "MSM": 0.01578,
    "MSF": 0.01369,
    "SA": 0.01156,
    "MSQM": 0.00478,
    "K1": 0.53050,
    "O1": 0.37689,
    "P1": 0.17554,
    "Q1": 0.07216,
    "M1": 0.02964,
    "J1": 0.02964,
    "OO1": 0.01623,
    "RHO1": 0.01371,
    "SIGMA1": 0.01153,
    "PI1": 0.01029,
    "2Q1": 0.00955,
    "PHI1": 0.00756,
    "CHI1": 0.00567,
    "THETA1": 0.00566,
    "TAU1": 0.00492,
    "PSI1": 0.00423,
    "S1": 0.00416,
    "UPSILON1": 0.00311,
    "ALPHA1": 0.00278,
    "BETA1": 0.00278,
    "M2": 0.90812,
    "S2": 0.42286,
    "N2": 0.17387,
    "K2": 0.11506,
    "NU2": 0.03303,
    "MU2": 0.02777,
    "L2": 0.02567,
    "T2": 0.02479,
    "2N2": 0.02301,
    "EPSILON2": 0.00671,
    "LAMBDA2": 0.00670,
    "ETA2": 0.00643,
    "R2": 0.00354,
    "H1": 0.00313,
    "H2": 0.00277,
    "GAMMA2": 0.00273,
    "M3": 0.01188,
}
"""Coefficient of each line in the development of the potential, geodetic factors left out."""

SHALLOW_WATER: tuple[str, ...] = (
    *("M4", "MS4", "MN4", "M6", "2MK3", "MK3", "S4", "2MS6", "2MN6", "SK3", "SO3", "M8", "2SM2", "MSN2"),
    *("MK4", "SN4", "SO1", "S3", "2SM6", "2MK5", "2SK5", "S6", "MKS2", "OQ2", "SK4", "MSK6", "2MK6"),
    *("3MK7", "3MS8", "3MN8", "2(MS)8", "M10", "M12"),
)
"""Shallow-water lines in the order in which they are admitted (common practice: the overtides and the
compounds of the strongest lines first)."""

LEAST_INFERRED = 0.006
"""Lines below this coefficient are not inferred but from a reference station: they are under 0.7 % of the
lunar tide's own."""

INFERENCE_PAIRS: dict[str, str] = {
    "P1": "K1",
    "PI1": "K1",
    "PHI1": "K1",
    "PSI1": "K1",
    "S1": "K1",
    "J1": "K1",
    "O1": "K1",
    "Q1": "O1",
    "M1": "O1",
    "OO1": "O1",
    "RHO1": "Q1",
    "SIGMA1": "Q1",
    "2Q1": "Q1",
    "K2": "S2",
    "T2": "S2",
    "R2": "S2",
    "S2": "M2",
    "N2": "M2",
    "L2": "M2",
    "LAMBDA2": "M2",
    "NU2": "N2",
    "MU2": "N2",
    "2N2": "N2",
}
"""The neighbour each line is inferred from where a record can't tell it apart: as Schureman (US Coast and
Geodetic Survey Special Publication 98, pp. 78-81) pairs them."""
