"""Observed records for tests: the published ones, and made ones whose truth is known."""

from functools import lru_cache

import numpy as np

from harmonics.fitting.analysis import fit
from harmonics.records.residuals import Cleaning, Residuals
from harmonics.stations.types import Station
from harmonics.sums.waves import year_start
from tests.conftest import published_rows
from tests.harmonics.conftest import utc

HOUR, DAY = 3600.0, 86400.0


@lru_cache(maxsize=1)
def honolulu():
    """Honolulu 2010, UHSLC: POSIX seconds and metres."""
    rows = published_rows("hnl2010_hourly.csv")
    return np.array([utc(row["time_utc"]) for row in rows]), np.array([float(row["level_m"]) for row in rows])


@lru_cache(maxsize=1)
def dry_bar():
    """Apalachicola Bay, Dry Bar, 2012 and 2013, NERRS: POSIX seconds and metres, nan for gaps."""
    rows = published_rows("apalachicola_db_hourly.csv")
    level = [float(row["level_m"]) if row["level_m"] else np.nan for row in rows]
    return np.array([utc(row["time_utc"].rstrip("Z")) for row in rows]), np.array(level)


@lru_cache(maxsize=8)
def fitted(which, before):
    """A station with the constants of a record's part before a UTC time, those clear of the noise."""
    t, level = {"honolulu": honolulu, "dry bar": dry_bar}[which]()
    part = t < utc(before)
    analysis = fit(t[part], level[part])
    constants = analysis.constants(trusted_only=True)
    return Station(which, which, 21.3, -157.9, "zero of the record", analysis.mean, constants)


def made_residuals(level, start=None):
    """Residuals of hourly values."""
    first = year_start(2019) if start is None else start
    return Residuals(first, np.asarray(level, dtype=float), Cleaning(len(level) / 24.0, 0.0, 0.0, ()))


def red_noise(count, hours, deviation, seed):
    """Hourly first-order autoregressive noise that forgets within so many hours."""
    keep = np.exp(-1.0 / hours)
    step = np.random.default_rng(seed).normal(scale=deviation * np.sqrt(1 - keep**2), size=count)
    out = np.empty(count)
    out[0] = deviation * np.random.default_rng(seed + 1).normal()
    for k in range(1, count):
        out[k] = keep * out[k - 1] + step[k]
    return out
