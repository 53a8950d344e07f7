"""Valid files of every kind, for mutations to start from; those not published are invented."""

from pathlib import Path

from tests.cli.runs import DEMOS, REPOSITORY
from tests.conftest import PUBLISHED

SEED_BYTES = 6000
"""A seed is cut to whole lines of about this: parsers meet every construct in it, and cases stay quick."""


def _lines(*paths: Path) -> tuple[bytes, ...]:
    found = (path.read_bytes() for path in paths)
    return tuple(data[: data.rfind(b"\n", 0, SEED_BYTES) + 1] for data in found)


EVERY_KEY = b"""title = "Every key"
time_zone = "Europe/London"
units = "feet"
node_factors = "continuous"
[[stations]]
id = "pier"
name = "Pier"
latitude = 50.1
longitude = -5.2
datum = "CD"
mean_level = 2.0
length_unit = "feet"
phase = "local"
utc_offset = -6.0
observed = "readings.csv"
constituents = [{ name = "M2", amplitude = 1.5, phase = 130.0 }, { name = "K1", amplitude = 0.1, phase = 9 }]
[[stations]]
id = "cove"
name = "Cove"
reference = "pier"
high_water = { minutes_by_hour = { hours = [0, 6], minutes = [23, 35], utc_offset = 0 }, offset = 0.1 }
low_water = { factor_by_height = { heights = [1, 2], factors = [0.9, 1.1] }, minutes = 4 }
[[currents]]
id = "pass"
name = "Pass"
latitude = 50.1
longitude = -5.2
flood_direction = 340
axis_direction = 340
across_direction = 70
constituents = [{ name = "M2", amplitude = 1.5, phase = 130.0 }]
constituents_across = "table.csv"
[[currents]]
id = "narrows"
name = "Narrows"
latitude = 50.1
longitude = -5.2
flood_direction = 10
ebb_direction = 190
mean_flow = -0.1
constituents = [{ name = "M2", amplitude = 1.5, phase = 130.0 }]
[[currents]]
id = "inner"
name = "Inner"
reference = "narrows"
flood_direction = 10
ebb_direction = 190
flood = 20
flood_ratio = 0.8
[[banks]]
id = "bank"
name = "Bank"
station = "pier"
bare_below = 1.0
[[spots]]
id = "ledge"
name = "Ledge"
latitude = 50.11
longitude = -5.21
station = "pier"
bank = "bank"
least_depth = 0.5
depth_at_datum = 1.0
hours = "12:00-sunset+1h"
days = ["sat", "sun"]
session = "1h30min"
travel = "45min"
heaviest_lead = "8oz"
sinker = "egg"
speeds = { nothing_below = 0.1, full_from = 0.4, full_to = 1.2, nothing_above = 2.0 }
[spots.flow]
basin_area_m2 = 1e6
opening_area_m2 = 100
repletion = 1.0
[[landings]]
id = "ramp"
name = "Ramp"
latitude = 50.12
longitude = -5.22
station = "pier"
depth_at_datum = -0.5
launch = 10
[[landings]]
id = "park"
name = "Park"
latitude = 50.12
longitude = -5.22
least_level = -2.0
station = "cove"
greatest_level = 6
[boat]
speed_kn = 8
draft = 0.4
[[ways]]
from = "ramp"
to = "ledge"
minutes = 20
least_level = -1
station = "pier"
[[ways]]
from = "bank"
to = "ramp"
minutes = 5
[outing]
start = "ramp"
leave_after = "sunrise-1h"
home_by = "02:00 next day"
longest = "5h30min"
from_home = 15
move = 10
settle = 20
margin = "25min"
gather = 25
bait = "if possible"
most_moves = 2
move_cost = 4.5
keep = 30
[fishing]
light = "any"
points = { flow = 60, light = 35, moon = 5 }
keep = 50
[[quarry]]
name = "Grunter"
light = "night"
water = "moving"
speeds = { nothing_below = 0.1, full_from = 0.4, full_to = 1.2, nothing_above = 2.0 }
months = ["sep", "Oct"]
temperature = ["9C", "61F"]
[[rules]]
species = "Grunter"
least_length = "42cm"
greatest_length = "30in"
measured = "fork"
bag = 2
season = ["04-01 to 12-31", "12-31 to 02-29"]
source = "a notice"
checked = 2026-03-01
[log]
path = "trips.db"
"""
STATION_FILES = (
    *_lines(*DEMOS),
    EVERY_KEY,
)
CONSTITUENT_TABLES = _lines(
    *sorted(PUBLISHED.glob("constituents_*.csv")), *sorted((REPOSITORY / "demo_stations").glob("*.csv"))
)
RECORDS = (
    *_lines(PUBLISHED / "hnl2010_hourly.csv", PUBLISHED / "tuktoyaktuk1975_hourly.csv"),
    b"time_utc,level_m\n2021-01-01 00:00,1.25\n2021-01-01 01:00,\n2021-01-01 02:00,-999\n",
    b"Date;Time (GMT);Water Level (ft);Quality\n2021-01-01;00:00;1.25;v\n2021-01-01;01:00;1.30;v\n",
    b'"time","level_m"\n"2021-10-31 00:30","1.0"\n"2021-10-31 01:30","1.1"\n"2021-10-31 01:30","1.2"\n',
    b"when\theight_cm\n2021-03-28T00:30:00.5Z\t100\n2021-03-28T01:30:00+01:00\t110\n",
)
WEATHERS = (
    b"# forecast_reference_time: 2026-08-10T06:00Z\ntime_utc,wind_speed [kn],wind_from_direction [degree],"
    b"air_pressure_at_mean_sea_level [hPa]\n2026-08-10 06:00,10,350,1013.2\n2026-08-10 09:00,20,,1012\n",
    b"time;air_temperature [degF];thunderstorm_probability [%];other\n2026-08-10T06:00Z;86;30;x\n",
    b'"date","time (UTC)","precipitation_amount [kg m-2]"\n"2026-08-10","06:00","1.5"\n',
)
IMPORTS = (
    b"""Constituent #\tName\tAmplitude (m)\tPhase (GMT)\tSpeed\tDescription
1\tM2\t1.372\t110.1\t28.984104\tmoon
2\tS2\t0.2\t142.2\t30.0\tsun
3\tK1\t0\t200\t15.041069\tdiurnal
""",
    b"name;amplitude_ft;phase_local\nM2;1.5;130\nO1;0.5;10\n",
    b"name,amplitude,phase\nM2,1.5,130\nLDA2,0.5,10\n",
    b"""{"units": "feet", "constituents": [
    {"number": 1, "name": "M2", "amplitude": 4.5, "phase_GMT": 110.1, "phase_local": 330.2,
     "speed": 28.984104},
    {"number": 2, "name": "S2", "amplitude": 0.7, "phase_GMT": 1, "phase_local": 2}
]}""",
    b"""[
    {"name": "M2", "amplitude": 1.5, "phase": 130},
    {"name": "K1", "amplitude": 0.1, "phase": 9, "speed": null}
]""",
    """  STATION: Pier (1)   LAT 42 21.2 N  LONG 71 03.0 W
  DATUM: MLLW   Z0 = 1.586 m   TIME ZONE: UTC
  -----------------------------------------------
  No.  Constituent    H (m)    g (deg)   Speed
    1  M2             1.371     109.2°   28.9841042
    2  S2             0.208     146.2°   30.0000000
  101  SA                 -         -     0.0410686
  Computed from 369 days.
""".encode(),
    b"Onde;Amplitude (cm);Phase G\nM2;137,1;109,2\nS2;1 020,8;146,2\nZ0;158,6;\n",
    b"""<html><head><title>Pier</title></head><body><h1>Station: Pier</h1><p>Heights in feet.
<table><tr><th rowspan=2>Name<th rowspan=2>Amplitude<th colspan=2>Phase<tr><th>GMT<th>UTC-5
<tr><td>M<sub>2</sub><td>4.498<td>109.2&deg;<td>327.0<tr><td>&nu;2<td>0.5<td>9<td>8</table>
<pre>Name  H (m)  G
O1    0.1    12</pre></body></html>""",
    b"Constituent,M2,S2,K1\nAmplitude (ft),1.5,0.2,0.1\nPhase (UTC-5),130,20,1\n",
    b"""Flood/ebb directions: 265.8 / 85.8, mean flow -0.057 kn
name  major amplitude (kn)  major phase (GMT)  minor amplitude (kn)  minor phase (GMT)  azimuth
M2    2.376                 28.5               0.1                   118.5              265.8
S2    0.344                 69.5               -0.01                 159.5              265.8
""",
    b"name,semi-major (cm/s),semi-minor (cm/s),azimuth (true),phase G\nM2,50,-5,30,100\nK1,9,1,40,50\n",
    b"Name H G Name H G\nM2 1.3 109 S2 0.2 146\nN2 0.3 76\nlags on Greenwich, amplitudes in metres\n",
)
TRIPS = (
    b"""trip,uid,spot,time_zone,start_utc,end_utc,state,anglers,species,caught,kept,fish,seen,points,points_by_factor
1,a1,ledge,UTC,2026-08-10T12:00:00Z,2026-08-10T14:00:00Z,fished,2,Bass,2,1,kept 0.385 m fork \
2026-08-10T12:30:00Z; released,turned_out 2026-08-10T11:40:00Z; drift 2026-08-10T13:00:00Z 0.4 m/s,81.5,\
flow 55 of 60; light 26.5 of 35
1,a1,ledge,UTC,2026-08-10T12:00:00Z,2026-08-10T14:00:00Z,fished,2,'=Eel,0,0,,\
turned_out 2026-08-10T11:40:00Z; drift 2026-08-10T13:00:00Z 0.4 m/s,81.5,flow 55 of 60; light 26.5 of 35
""".replace(b"\\\n", b""),
    b"spot,start_local,end_local,species,caught\nledge,2026-08-10 13:00,2026-08-10T15:30+01:00,Bass,3\n",
    b"spot,start_local,end_local,wind_from_deg,clarity,words,removed_utc\n"
    b'ledge,2026-03-29 01:30,2026-03-29 04:00,225,muddy,"late, cold",2026-08-10T12:00Z\n',
)
VALUES = (
    *(b"35cm", b"14in", b"355mm", b"18C", b"64F", b"05-01 to 10-15", b"12kn SW", b"5m/s 225", b"calm"),
    *(b"2.4", b"2,4@17:30", b"-0.3 @ 2026-08-15 17:30"),
    *(b"2026-08-15 17:30", b"17:30", b"2026-08-15T17:30:00+01:00", b"2026-03-29 01:30"),
    *(
        b"12:00-sunset+1h",
        b"any",
        b"20:00-02:00",
        b"dawn-30min-09:30",
        b"dusk+1h30min-sunrise",
        b"24:00-0:00",
    ),
    *(b"2h", b"90min", b"1h30min", b"8oz", b"230g", b"1.5 oz", b"45min", b"30min", b"12h"),
    *(b"02:00 next day", b"sunset+1h", b"5h30min", b"48h"),
)

CURRENTS = (
    b"time (UTC),speed [kn],direction [deg]\n2021-01-01 00:00,1.25,40\n2021-01-01 01:00,0.5,220.5\n",
    b"time_utc;u (cm/s);v (cm/s)\n2021-01-01 00:00;-25;40\n2021-01-01 01:00;;\n2021-01-01 02:00;-999;3\n",
)
