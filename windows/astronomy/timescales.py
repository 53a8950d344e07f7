"""Terrestrial Time and POSIX seconds.

`tt` is Terrestrial Time in days after J2000.0 (JD 2451545.0 TT); `t` is POSIX seconds. Since 1972
POSIX seconds count UTC with its leap seconds left out. Before 1972 civil clocks kept mean solar time, so `t`
counts UT1 there.
"""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array

DAY = 86400.0
J2000_JD = 2451545.0
POSIX_EPOCH_JD = 2440587.5
J2000_POSIX = (J2000_JD - POSIX_EPOCH_JD) * DAY
TT_MINUS_TAI = 32.184  # seconds, by definition of TT
UTC_1972 = 63_072_000.0  # 1972-01-01 0 h: the first instant of UTC with whole leap seconds
TAI_MINUS_UTC_1972 = 10.0  # seconds
TT_MINUS_UT1_GUESS = 60.0  # seconds; where delta T is looked up first, it changes by < 0.01 s a day


@cache
def timescale() -> Any:
    """Skyfield's Timescale from the delta T and leap second tables bundled with skyfield.

    The same object as `skyfield.api.load.timescale(builtin=True)`. The shortcut matters: `skyfield.api`
    imports the whole library and its downloader (urllib, ssl), which takes longer than a week of sky.
    """
    from skyfield.functions import load_bundled_npy
    from skyfield.timelib import Timescale

    tables = load_bundled_npy("iers.npz")
    table_tt = tables["tt_jd_minus_arange"] + np.arange(len(tables["tt_jd_minus_arange"]))
    delta_t = (tables["delta_t_1e7"] / 1e7).round(7)
    return Timescale((table_tt, delta_t), tables["leap_dates"], tables["leap_offsets"])


def skyfield_time(tt: ArrayLike) -> Any:
    """Skyfield's Time at `tt`."""
    return timescale().tt_jd(J2000_JD, np.asarray(tt, np.float64))


def tt_from_posix(t: ArrayLike) -> Array:
    """Terrestrial Time, days after J2000.0, of POSIX seconds; any shape."""
    t = np.asarray(t, np.float64)
    leap_t = (timescale().leap_dates - POSIX_EPOCH_JD) * DAY
    ahead = _tt_minus_utc(np.searchsorted(leap_t, t, side="right"))
    early = t < UTC_1972
    if early.any():
        ahead = np.where(early, _delta_t(_days(np.minimum(t, UTC_1972) + TT_MINUS_UT1_GUESS)), ahead)
    return _days(t + ahead)


def posix_from_tt(tt: ArrayLike) -> Array:
    """POSIX seconds of Terrestrial Time in days after J2000.0; any shape."""
    tt = np.asarray(tt, np.float64)
    leaps = np.arange(len(timescale().leap_dates))
    leap_t = (timescale().leap_dates - POSIX_EPOCH_JD) * DAY
    leap_tt = _days(leap_t + _tt_minus_utc(leaps + 1))
    t = J2000_POSIX + tt * DAY - _tt_minus_utc(np.searchsorted(leap_tt, tt, side="right"))
    early = t < UTC_1972
    if early.any():
        universal = J2000_POSIX + tt * DAY - _delta_t(np.where(early, tt, _days(UTC_1972)))
        t = np.where(early, universal, t)
    return np.asarray(t, np.float64)


def _days(seconds: Array | float) -> Array:
    """Days after J2000.0 of seconds counted like POSIX seconds."""
    return np.asarray((seconds - J2000_POSIX) / DAY, np.float64)


def _tt_minus_utc(leaps_passed: Any) -> Array:
    """TT - UTC, seconds, after so many of the leap seconds that followed 1972-01-01."""
    offsets = np.concatenate(([TAI_MINUS_UTC_1972], timescale().leap_offsets))
    return np.asarray(TT_MINUS_TAI + offsets[leaps_passed], np.float64)


def _delta_t(tt: Array) -> Array:
    """TT - UT1, seconds."""
    return np.asarray(skyfield_time(tt).delta_t, np.float64)
