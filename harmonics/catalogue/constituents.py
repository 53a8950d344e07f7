"""The catalogue: one immutable row of integers a constituent, its aliases, and compound names.

Sources: Schureman (US Coast and Geodetic Survey Special Publication 98), Table 2, for the rows of the US
tables; for the rest the arguments of the International Hydrographic Organization's list of tidal
constituents (from memory; their speeds are checked in the tests against an independent library).
A compound name such as 2MK5 is taken apart into its parents and is the integer sum of their rows.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from harmonics.arrays import Array
from harmonics.catalogue.arguments import longitude_speeds
from harmonics.catalogue.compounds import parents
from harmonics.catalogue.nodes import NodeFamily
from harmonics.errors import UnknownConstituentError

_SPEEDS = longitude_speeds()


@dataclass(frozen=True)
class Constituent:
    """One line of the harmonic development of the tide, as integers.

    Attributes:
        name: canonical name.
        argument: multiples of T, s, h, p, p1 in the equilibrium argument V.
        quarter_turns: the constant part of V, in units of 90 degrees.
        nodes: node families with their signed multiples; the factor is the product of |multiple|-th
            powers, the angle the signed sum.
        node_perigee: multiples of p that the node angle itself gains through the years. M1's angle holds
            Q, which follows the perigee, so yearly practice lets M1 advance with one more p than V has.
    """

    name: str
    argument: tuple[int, int, int, int, int]
    quarter_turns: int
    nodes: tuple[tuple[NodeFamily, int], ...]
    node_perigee: int = 0

    @cached_property
    def speed(self) -> float:
        """Degrees a mean solar hour, as agencies list it and as yearly practice advances it."""
        return float(np.dot(self.argument, _SPEEDS)) + self.node_perigee * float(_SPEEDS[3])

    @cached_property
    def argument_speed(self) -> float:
        """Degrees a mean solar hour of V alone."""
        return float(np.dot(self.argument, _SPEEDS))

    @property
    def species(self) -> int:
        """Cycles a day, to the nearest whole: 0 long-period, 1 diurnal, 2 semidiurnal ..."""
        return self.argument[0]

    def equilibrium_argument(self, angles: Array) -> Array:
        """V in degrees from T, s, h, p, p1 (degrees, shape (5, ...)); shape (...)."""
        return np.asarray(np.tensordot(np.array(self.argument, dtype=float), angles, axes=1)) + (
            90.0 * self.quarter_turns
        )


_S, _M = NodeFamily.SOLAR, NodeFamily.M2
_Row = tuple[str, tuple[int, int, int, int, int], int, NodeFamily]

# name, multiples of T s h p p1, quarter turns, node family
_LONG_PERIOD: tuple[_Row, ...] = (
    ("SA", (0, 0, 1, 0, 0), 0, _S),
    ("SSA", (0, 0, 2, 0, 0), 0, _S),
    ("STA", (0, 0, 3, 0, 0), 0, _S),
    ("MSM", (0, 1, -2, 1, 0), 0, NodeFamily.MM),
    ("MM", (0, 1, 0, -1, 0), 0, NodeFamily.MM),
    ("MF", (0, 2, 0, 0, 0), 0, NodeFamily.MF),
    ("MTM", (0, 3, 0, -1, 0), 0, NodeFamily.MF),
    ("MSQM", (0, 4, -2, 0, 0), 0, NodeFamily.MF),
)
_DIURNAL: tuple[_Row, ...] = (
    ("ALPHA1", (1, -5, 3, 1, 0), 1, NodeFamily.O1),
    ("2Q1", (1, -4, 1, 2, 0), 1, NodeFamily.O1),
    ("SIGMA1", (1, -4, 3, 0, 0), 1, NodeFamily.O1),
    ("Q1", (1, -3, 1, 1, 0), 1, NodeFamily.O1),
    ("RHO1", (1, -3, 3, -1, 0), 1, NodeFamily.O1),
    ("O1", (1, -2, 1, 0, 0), 1, NodeFamily.O1),
    ("TAU1", (1, -2, 3, 0, 0), -1, NodeFamily.O1),
    ("BETA1", (1, -1, -1, 1, 0), -1, NodeFamily.J1),
    ("CHI1", (1, -1, 3, -1, 0), -1, NodeFamily.J1),
    ("PI1", (1, 0, -2, 0, 1), 1, _S),
    ("P1", (1, 0, -1, 0, 0), 1, _S),
    ("S1", (1, 0, 0, 0, 0), 0, _S),
    ("K1", (1, 0, 1, 0, 0), -1, NodeFamily.K1),
    ("PSI1", (1, 0, 2, 0, -1), -1, _S),
    ("PHI1", (1, 0, 3, 0, 0), -1, _S),
    ("THETA1", (1, 1, -1, 1, 0), -1, NodeFamily.J1),
    ("J1", (1, 1, 1, -1, 0), -1, NodeFamily.J1),
    ("OO1", (1, 2, 1, 0, 0), -1, NodeFamily.OO1),
    ("UPSILON1", (1, 3, 1, -1, 0), -1, NodeFamily.OO1),
)
_SEMIDIURNAL: tuple[_Row, ...] = (
    ("EPSILON2", (2, -5, 4, 1, 0), 0, _M),
    ("2N2", (2, -4, 2, 2, 0), 0, _M),
    ("MU2", (2, -4, 4, 0, 0), 0, _M),
    ("N2", (2, -3, 2, 1, 0), 0, _M),
    ("3N2", (2, -3, 2, 0, 0), 0, _S),  # of the moon's third-degree tide
    ("3N2E", (2, -5, 2, 3, 0), 0, _M),  # elliptic, as N2 and 2N2; some lists call this one 3N2
    ("NU2", (2, -3, 4, -1, 0), 0, _M),
    ("GAMMA2", (2, -2, 0, 2, 0), 2, _M),
    ("H1", (2, -2, 1, 0, 1), 2, _M),
    ("MA2", (2, -2, 1, 0, 0), 0, _M),
    ("M2", (2, -2, 2, 0, 0), 0, _M),
    ("MB2", (2, -2, 3, 0, 0), 0, _M),
    ("H2", (2, -2, 3, 0, -1), 0, _M),
    ("LAMBDA2", (2, -1, 0, 1, 0), 2, _M),
    ("L2", (2, -1, 2, -1, 0), 2, NodeFamily.L2),
    ("3L2", (2, -1, 2, 0, 0), 0, _S),  # of the moon's third-degree tide
    ("T2", (2, 0, -1, 0, 1), 0, _S),
    ("S2", (2, 0, 0, 0, 0), 0, _S),
    ("R2", (2, 0, 1, 0, -1), 2, _S),
    ("K2", (2, 0, 2, 0, 0), 0, NodeFamily.K2),
    ("ZETA2", (2, 1, 0, 1, 0), 0, NodeFamily.KJ2),
    ("ETA2", (2, 1, 2, -1, 0), 0, NodeFamily.KJ2),
)
_HIGHER: tuple[_Row, ...] = (
    ("T3", (3, 0, -1, 0, 0), 0, _S),
    ("S3", (3, 0, 0, 0, 0), 2, _S),
    ("R3", (3, 0, 1, 0, 0), 0, _S),
    ("M3", (3, -3, 3, 0, 0), 0, NodeFamily.M3),
)

_LISTED: dict[str, Constituent] = {
    name: Constituent(name, argument, turns, ((family, 1),))
    for name, argument, turns, family in (*_LONG_PERIOD, *_DIURNAL, *_SEMIDIURNAL, *_HIGHER)
} | {
    "M1": Constituent("M1", (1, -1, 1, 0, 0), -1, ((NodeFamily.M1, 1),), node_perigee=1),
    "MSF": Constituent("MSF", (0, 2, -2, 0, 0), 0, ((_M, -1),)),
}

_ALIASES = {
    "LAM2": "LAMBDA2",
    "LDA2": "LAMBDA2",
    "LA2": "LAMBDA2",
    "LABDA2": "LAMBDA2",
    "RHO": "RHO1",
    "RO1": "RHO1",
    "NU": "NU2",
    "MU": "MU2",
    "SIG1": "SIGMA1",
    "SGM": "SIGMA1",
    "SGM1": "SIGMA1",
    "ALP1": "ALPHA1",
    "ALF1": "ALPHA1",
    "BET1": "BETA1",
    "BE1": "BETA1",
    "TA1": "TAU1",
    "CH1": "CHI1",
    "PS1": "PSI1",
    "PH1": "PHI1",
    "THE1": "THETA1",
    "TH1": "THETA1",
    "TT1": "THETA1",
    "UPS1": "UPSILON1",
    "EPS2": "EPSILON2",
    "EP2": "EPSILON2",
    "E2": "EPSILON2",
    "GAM2": "GAMMA2",
    "ALPHA2": "H1",
    "ALP2": "H1",
    "BETA2": "H2",
    "BET2": "H2",
    "ZET2": "ZETA2",
    "KJ2": "ETA2",
    "ET2": "ETA2",
    "MSQ": "MSQM",
    "MT": "MTM",
    "MFM": "MTM",
}
MEANINGS = {"3N2": ("3N2E",), "2K2": ("2KM2",)}
"""Further lines that some tables print under a name of the catalogue; their speed tells which is meant."""
_GREEK = {
    letter: name
    for letter, name in zip(
        "ΑΒΓΕΖΗΘΛΜΝΠΡΣΤΥΦΧΨ",
        "ALPHA BETA GAMMA EPSILON ZETA ETA THETA LAMBDA MU NU PI RHO SIGMA TAU UPSILON PHI CHI PSI".split(),
        strict=True,
    )
}
_SEPARATORS = dict.fromkeys("_ ", "")
_SPELLING = str.maketrans(_GREEK | _SEPARATORS)
MAXIMUM_NAME_LENGTH = 24


def listed() -> tuple[Constituent, ...]:
    """Every row of the catalogue, in order of speed; compounds are made on demand by `find`."""
    return tuple(sorted(_LISTED.values(), key=lambda row: row.speed))


@lru_cache(maxsize=4096)
def find(name: str) -> Constituent:
    """The constituent of that name, alias or compound name, in either case.

    Raises:
        UnknownConstituentError: nothing explains the name; the error lists near names.
    """
    key = _spelled(name)
    row = _known(key)
    if row is None:
        import difflib

        known = [*_LISTED, *_ALIASES, "M4", "M6", "M8", "MS4", "MN4", "MK3", "2MK3", "2SM2"]
        raise UnknownConstituentError(
            name[:40], tuple(difflib.get_close_matches(key[:MAXIMUM_NAME_LENGTH], known, 3, 0.5))
        )
    return row


@lru_cache(maxsize=4096)
def knows(name: str) -> bool:
    """Whether `find` finds the name, without looking for near ones."""
    return _known(_spelled(name)) is not None


def _spelled(name: str) -> str:
    key = name.upper().translate(_SPELLING)
    return _ALIASES.get(key, key)


def _known(key: str) -> Constituent | None:
    if key in _LISTED:
        return _LISTED[key]
    parts = parents(key) if len(key) <= MAXIMUM_NAME_LENGTH else None
    return None if parts is None else _sum(key, parts)


def _sum(name: str, parts: tuple[tuple[str, int], ...]) -> Constituent:
    rows = [(_LISTED[part], multiple) for part, multiple in parts]
    nodes: dict[tuple[NodeFamily, bool], int] = {}
    for row, multiple in rows:
        for family, power in row.nodes:
            key = (family, multiple * power > 0)  # MSN2 = M2 + S2 - N2 carries M2's factor twice
            nodes[key] = nodes.get(key, 0) + multiple * power
    t, s, h, p, p1 = (sum(row.argument[i] * multiple for row, multiple in rows) for i in range(5))
    return Constituent(
        name,
        (t, s, h, p, p1),
        sum(row.quarter_turns * multiple for row, multiple in rows),
        tuple((family, power) for (family, _), power in nodes.items()),
        sum(row.node_perigee * multiple for row, multiple in rows),
    )
