"""Tidal datums from a 19-year prediction, and what kind of tide a coast has.

The datums are those of US practice (National Ocean Service, Tidal Datums and Their Applications, NOAA
Special Publication NOS CO-OPS 1, 2000, from memory): means over the turning points of a 19-year epoch. The
agencies average observed high and low waters, in which weather lifts and lowers single waters; a prediction
has none, so its mean higher high water lies a little lower and its lower low water a little higher.
"""

import math
from enum import StrEnum, unique
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array
from harmonics.catalogue.constituents import find
from harmonics.stations.events import Turns, high_low_waters
from harmonics.stations.types import Station
from harmonics.sums.waves import HarmonicConstants, year_start
from harmonics.units import DATUM_NAMES, HOUR


@unique
class Regime(StrEnum):
    """Kinds of tide by form number F (Courtier 1938, from memory); the text is what people read."""

    SEMIDIURNAL = "semidiurnal"
    MIXED_SEMIDIURNAL = "mixed, mainly semidiurnal"
    MIXED_DIURNAL = "mixed, mainly diurnal"
    DIURNAL = "diurnal"


REGIME_LIMITS = (
    (0.25, Regime.SEMIDIURNAL),
    (1.5, Regime.MIXED_SEMIDIURNAL),
    (3.0, Regime.MIXED_DIURNAL),
)
"""A regime holds below its form number; from 3 on the tide is diurnal (Courtier 1938, from memory)."""


def amplitude_of(constants: HarmonicConstants, name: str) -> float:
    """Amplitude of the constituent with that canonical name, 0 where the constants have none."""
    found = constants.named().get(name)
    return 0.0 if found is None else found.amplitude


def form_number(constants: HarmonicConstants) -> float:
    """(K1 + O1) / (M2 + S2) by amplitude: inf without a semidiurnal part, nan with neither part.

    Source: Courtier 1938 (from memory).
    """
    diurnal = amplitude_of(constants, "K1") + amplitude_of(constants, "O1")
    semidiurnal = amplitude_of(constants, "M2") + amplitude_of(constants, "S2")
    if semidiurnal > 0:
        return diurnal / semidiurnal
    return math.inf if diurnal > 0 else math.nan


def regime(constants: HarmonicConstants) -> Regime | None:
    """The kind of tide; None where the constants have none of K1, O1, M2 and S2."""
    number = form_number(constants)
    if math.isnan(number):
        return None
    return next((kind for limit, kind in REGIME_LIMITS if number < limit), Regime.DIURNAL)


def typical_peak_rate(constants: HarmonicConstants, factor: Array | None = None) -> float:
    """sqrt(sum (w f H)^2): how fast the level moves when it moves, in the amplitude's unit a second.

    It is sqrt(2) times the rate's root mean square, the peak rate of the sine that has the same.

    Args:
        constants: amplitudes in metres.
        factor: node factors f, shape (C,); 1 where not given.
    """
    speed = np.radians([row.speed for row in constants.constituents]) / HOUR
    weight = constants.amplitude if factor is None else factor * constants.amplitude
    return float(np.sqrt(np.sum((speed * weight) ** 2)))


def mean_range(turns: Turns) -> float:
    """Mean height of the high waters less that of the low waters, metres; nan without both."""
    if turns.high.all() or not turns.high.any():
        return math.nan
    return float(turns.height[turns.high].mean() - turns.height[~turns.high].mean())


def greatest_range(turns: Turns) -> float:
    """Greatest rise or fall between neighbouring turning points, metres; nan with fewer than two."""
    if len(turns) < 2:
        return math.nan
    return float(np.abs(np.diff(turns.height)).max())


TIDAL_DAY = 24.8412024 * HOUR
"""The mean lunar day: two cycles of M2."""
EPOCH_YEARS = 19
"""The moon's node returns after 18.6 years: a whole number of years near it (the agencies' epoch)."""
NATIONAL_EPOCH = 1983
"""First year of the US National Tidal Datum Epoch, 1983-2001."""


class Datums(NamedTuple):
    """Datums of a station, metres above the station's own datum; nan where the tide has none.

    Attributes:
        hat, lat: highest and lowest astronomical tide of the epoch.
        mhhw, mllw: mean of the higher high and of the lower low water of each tidal day.
        mhw, mlw: mean of all high and of all low waters.
        msl: mean sea level.
        mtl: midway between MHW and MLW.
        dtl: midway between MHHW and MLLW.
    """

    hat: float
    mhhw: float
    mhw: float
    mtl: float
    dtl: float
    msl: float
    mlw: float
    mllw: float
    lat: float

    @property
    def mean_range(self) -> float:
        """Mn = MHW - MLW."""
        return self.mhw - self.mlw

    @property
    def great_diurnal_range(self) -> float:
        """Gt = MHHW - MLLW."""
        return self.mhhw - self.mllw

    def named(self, name: str) -> float:
        """The datum of that name, in either case.

        Raises:
            KeyError: no such datum.
        """
        if name.lower() not in DATUM_NAMES:
            raise KeyError(name)
        return float(getattr(self, name.lower()))

    def between(self, old: str, new: str) -> float:
        """Metres to add to a height above datum `old` to have it above datum `new`."""
        return self.named(old) - self.named(new)


def datums(station: Station, first_year: int = NATIONAL_EPOCH, years: int = EPOCH_YEARS) -> Datums:
    """Datums over an epoch of whole calendar years (UTC) of prediction.

    Pairs of turning points closer than 10 mm are stands and count as neither high nor low waters.
    """
    turns = high_low_waters(station, year_start(first_year), year_start(first_year + years)).turns
    high, low = turns.height[turns.high], turns.height[~turns.high]
    if not len(high) or not len(low):
        none = math.nan
        return Datums(none, none, none, none, none, station.mean_level, none, none, none)
    mhhw = float(_day_extremes(turns.t[turns.high], high).mean())
    mllw = float(-_day_extremes(turns.t[~turns.high], -low).mean())
    mhw, mlw = float(high.mean()), float(low.mean())
    return Datums(
        hat=float(high.max()),
        mhhw=mhhw,
        mhw=mhw,
        mtl=0.5 * (mhw + mlw),
        dtl=0.5 * (mhhw + mllw),
        msl=station.mean_level,
        mlw=mlw,
        mllw=mllw,
        lat=float(low.min()),
    )


def _day_extremes(t: Array, height: Array) -> Array:
    """Highest of the heights of each tidal day that has any, in order.

    Tidal days of 24.84 h are cut where high waters (of the one kind given) come least, a quarter of a tidal
    day from their mean place in the half-day, so that the two of a day stay together from spring to neap.
    A day of a diurnal coast holds one water, which is its higher; a day without any counts for nothing.
    """
    half = TIDAL_DAY / 2
    place = np.angle(np.mean(np.exp(2j * np.pi * t / half))) / (2 * np.pi) * half
    day = np.floor((t - place + half / 2) / TIDAL_DAY).astype(int)
    first = np.flatnonzero(np.diff(day, prepend=day[0] - 1))
    return np.asarray(np.maximum.reduceat(height, first))


class TideCharacter(NamedTuple):
    """Ranges and ages that follow from the constants alone; nan where a constituent is missing.

    Attributes:
        form_number, regime: the kind of tide.
        spring_range, neap_range: 2 (M2 + S2) and 2 (M2 - S2), metres.
        tropic_range, equatorial_range: 2 (K1 + O1) and 2 (K1 - O1), metres.
        phase_age: seconds from new or full moon to spring tide, (G of S2 - G of M2) over their speeds.
        diurnal_age: seconds from the moon's greatest declination to tropic tide, the same with K1 and O1.
        parallax_age: seconds from perigee to the perigean tide, the same with M2 and N2.
    """

    form_number: float
    regime: Regime | None
    spring_range: float
    neap_range: float
    tropic_range: float
    equatorial_range: float
    phase_age: float
    diurnal_age: float
    parallax_age: float

    @property
    def by_declination(self) -> bool:
        """Whether the moon's declination, not its phase, makes the tide large and small."""
        return self.regime in (Regime.MIXED_DIURNAL, Regime.DIURNAL)


def tide_character(constants: HarmonicConstants) -> TideCharacter:
    """Ranges and ages of the tide; amplitudes in metres.

    Source: Schureman, US Coast and Geodetic Survey Special Publication 98, for the ages (from memory);
    the ranges are common practice.
    """
    m2, s2, k1, o1 = (amplitude_of(constants, name) or math.nan for name in ("M2", "S2", "K1", "O1"))
    return TideCharacter(
        form_number=form_number(constants),
        regime=regime(constants),
        spring_range=2 * (m2 + s2),
        neap_range=2 * abs(m2 - s2),
        tropic_range=2 * (k1 + o1),
        equatorial_range=2 * abs(k1 - o1),
        phase_age=_age(constants, "S2", "M2"),
        diurnal_age=_age(constants, "K1", "O1"),
        parallax_age=_age(constants, "M2", "N2"),
    )


def _age(constants: HarmonicConstants, fast: str, slow: str) -> float:
    """Seconds after the equilibrium tide's at which the two are in step, within half a beat either way."""
    known = constants.named()
    if fast not in known or slow not in known:
        return math.nan
    difference = (known[fast].phase_lag - known[slow].phase_lag + 180.0) % 360.0 - 180.0
    return difference / (find(fast).speed - find(slow).speed) * HOUR
