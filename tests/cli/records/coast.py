"""A made shore with a record of its gauge and weather, for tests through the real command."""

import csv
import io

import numpy as np

from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.cli.runs import run
from tests.harmonics.conftest import station_of
from tests.harmonics.records_of import HOUR, red_noise

NOW = 1786363200.0
"""10 August 2026, 12 h UTC."""
WAVES = [("M2", 0.5, 110.0), ("S2", 0.15, 150.0), ("K1", 0.05, 30.0)]
FORESEEN = {"chance", "level_low_m", "level_high_m", "wind_kn", "chop_m"}
HEAD = """title = "Made shore"
time_zone = "Europe/London"
units = "metres"
"""
STATION = """
[[stations]]
id = "pier"
name = "Pier"
latitude = 50.1
longitude = -5.2
datum = "chart datum"
mean_level = 2.0
length_unit = "metres"
constituents = [
  { name = "M2", amplitude = 0.5, phase = 110.0 },
  { name = "S2", amplitude = 0.15, phase = 150.0 },
  { name = "K1", amplitude = 0.05, phase = 30.0 },
]
"""
SPOT = """
[[spots]]
id = "ledge"
name = "Ledge"
latitude = 50.11
longitude = -5.21
station = "pier"
slack_lag = 0
"""
RECORD = 'record = { file = "gauge.csv", zone = "UTC", units = "metres" }\n'
EXPOSED = """exposed = [ { from = 180, to = 300, fetch_km = 12, depth_m = 6 } ]
ebb_direction = 240
"""


def gauge(folder, days=110, shift=0.0, scale=1.0, name="gauge.csv", waves=WAVES):
    """A made record of the pier up to August 2026."""
    t = year_start(2026) + 105 * 86400.0 + HOUR * np.arange(days * 24)
    level = levels(station_of(waves, mean_level=2.0), t) + red_noise(len(t), 10.0, 0.15, 4)
    stamps = [str(np.datetime64(int(x + shift), "s")) for x in t]
    lines = [f"{stamp},{x * scale:.3f}" for stamp, x in zip(stamps, level, strict=True)]
    (folder / name).write_text("\n".join(["time,level", *lines]))
    return t, level


def forecast_weather(folder, wind="20", direction="240", thunder="5", hours=96, made="2026-08-10T06:00Z"):
    lines = [
        f"# forecast_reference_time: {made}",
        "time_utc,wind_speed [kn],wind_from_direction [degree],wind_speed_of_gust [kn],"
        "air_pressure_at_mean_sea_level [hPa],thunderstorm_probability [%],sea_surface_temperature [degC]",
    ]
    for hour in range(0, hours, 3):
        stamp = np.datetime64("2026-08-10T00:00") + np.timedelta64(hour, "h")
        lines.append(f"{stamp},{wind},{direction},28,1003.25,{thunder},16")
    (folder / "weather.csv").write_text("\n".join(lines))


def week(path, *more):
    found = run("week", path, "--start", "2026-08-10", "--days", "5", *more, now=NOW)
    assert found.code == 0, found.err
    return found.out


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))
