"""Published water through the command: agency stations put into a station file, every printed figure met.

Figures: NOAA CO-OPS predictions, source lines in the files under tests/published. Heights there are printed
to 1 mm and times to 1 min; ours may be 1 mm and 0.6 min off, which leaves 6 s for the printed minute.
"""

import pytest

from tests.cli.runs import rows, utc
from tests.coasts import STATION_IDS, head, published_station, written
from tests.conftest import published_rows

MINUTES = 0.6
METRES = 0.001
SECONDARY = """
[[stations]]
id = "8638596"
name = "Craney Island Light"
reference = "8638610"
high_water = { minutes = 18, factor = 1.06 }
low_water = { minutes = 4, factor = 0.83 }
"""


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shore")
    return written(folder, head("UTC"), *(published_station(station) for station in STATION_IDS))


def assert_same_events(ours: list[dict[str, str]], theirs: list[dict[str, str]]) -> None:
    kinds = {"H": "high_water", "L": "low_water"}
    assert [row["event"] for row in ours] == [kinds[row["type"]] for row in theirs]
    for mine, row in zip(ours, theirs, strict=True):
        assert abs(utc(mine["time_utc"]) - utc(row["time_utc"])) <= MINUTES * 60, (mine, row)
        assert abs(float(mine["height_m"]) - float(row["height_m"])) <= METRES, (mine, row)


@pytest.mark.parametrize("station", STATION_IDS)
def test_every_high_and_low_water_of_a_week_and_no_other(shore, station):
    theirs = published_rows(f"noaa_hilo_{station}_2026-08.csv")
    assert len(theirs) >= 12
    ours = rows("tides", shore, "--station", station, "--start", "2026-08-15", "--days", "7")
    assert {row["station"] for row in ours} == {station}
    assert_same_events(ours, theirs)


def test_a_secondary_station(tmp_path):
    # Printed in local standard time (UTC-5), which New York keeps in November; heights printed in 0.001 ft.
    path = written(tmp_path, head("America/New_York", "feet"), published_station("8638610"), SECONDARY)
    theirs = published_rows("noaa_hilo_8638596_2020-11.csv")
    assert len(theirs) == 7
    ours = rows("tides", path, "--station", "8638596", "--start", "2020-11-04", "--days", "2")
    assert_same_events(ours, theirs)
    for mine, row in zip(ours, theirs, strict=True):
        assert mine["time_local"].endswith("-05:00")
        off = utc(mine["time_local"][:19]) - utc(row["time_lst"])
        assert abs(off) <= MINUTES * 60


@pytest.mark.parametrize(
    ("name", "station", "start", "step", "count"),
    [
        ("noaa_hourly_8443970_2026-08.csv", "8443970", "2026-08-15", "60min", 168),
        ("noaa_hourly_8729840_2031-08.csv", "8729840", "2031-08-15", "1h", 168),
        ("noaa_6min_1612340_2023-08-30.csv", "1612340", "2023-08-30", "6min", 480),
    ],
)
def test_every_level(shore, name, station, start, step, count):
    theirs = published_rows(name)
    assert len(theirs) == count
    days = 7 if count == 168 else 2
    ours = rows("levels", shore, "--station", station, "--start", start, "--days", days, "--step", step)
    assert [utc(row["time_utc"]) for row in ours] == [utc(row["time_utc"]) for row in theirs]
    off = [abs(float(a["height_m"]) - float(b["height_m"])) for a, b in zip(ours, theirs, strict=True)]
    assert max(off) <= METRES


@pytest.mark.parametrize("station", STATION_IDS)
def test_local_phases_and_feet_are_the_same_tide(shore, station, tmp_path):
    # The same constants told in another way: G = g - speed x offset, so g of M2 at UTC-6 is G - 6 h x 28.98.
    speeds = {"M2": 28.984104, "S2": 30.0, "K1": 15.041069, "O1": 13.943036}
    table = {row["name"]: row for row in published_rows(f"constituents_{station}.csv")}

    def listed(phase_of, unit):
        return "\n".join(
            f'{{ name = "{name}", amplitude = {float(table[name]["amplitude"]) / unit!r}, '
            f"phase = {phase_of(name)!r} }},"
            for name in speeds
        )

    def greenwich(name):
        return float(table[name]["phase"])

    def local(name):
        return (greenwich(name) - 6.0 * speeds[name]) % 360.0

    def text(identifier, unit, metres, rest, phases):
        return (
            f'[[stations]]\nid = "{identifier}"\nname = "X"\nlatitude = 30.0\nlongitude = -90.0\n'
            f'datum = "MSL"\nmean_level = 0.0\nlength_unit = "{unit}"\n{rest}\n'
            f"constituents = [{listed(phases, metres)}]\n"
        )

    path = written(
        tmp_path,
        head("UTC"),
        text("plain", "metres", 1.0, "", greenwich),
        text("told", "feet", 0.3048, 'phase = "local"\nutc_offset = -6.0', local),
    )
    asked = ("--start", "2026-03-01", "--days", "3", "--step", "60min")
    plain = [float(row["height_m"]) for row in rows("levels", path, "--station", "plain", *asked)]
    told = [float(row["height_m"]) for row in rows("levels", path, "--station", "told", *asked)]
    assert told == pytest.approx(plain, abs=1e-5)
    assert max(plain) - min(plain) > 0.1
