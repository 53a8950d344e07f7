"""Folders of station files that the local pages are asked of, and what plain forms of them say."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.cli.runs import REPOSITORY
from tests.hostile.mutations import mutated
from tests.hostile.seeds import CONSTITUENT_TABLES, EVERY_KEY, STATION_FILES
from tests.windows.log.made_trips import FULL, plain_trip
from windows.log.storage import SqliteStore

DEMO = REPOSITORY / "demo_stations" / "pellaway_sound.toml"
TABLE = REPOSITORY / "demo_stations" / "gannet_bar.csv"
BARE = b"""title = "Bare"
time_zone = "Europe/London"
units = "metres"
[[stations]]
id = "pier"
latitude = 50.1
longitude = -5.2
constituents = [{ name = "M2", amplitude = 1.5, phase = 130.0 }]
"""
KEYS = EVERY_KEY.replace(b'observed = "readings.csv"\n', b"")
LISTS = ("spots", "stations", "currents", "banks", "landings", "ways", "quarry", "rules")
SINGLES = ("head", "fishing", "boat", "outing", "log")
READINGS = ("record", "readings", "past-weather", "weather")
"""Files of readings that have forms of their own."""
ODD_NAMES = (
    *(
        "a b.toml",
        "x<hostile7>.toml",
        "q\" hostile7='1.toml",
        "\u202ex.toml",
        "é\u0301.toml",
        "%2e.toml",
        "?x.toml",
    ),
    *(
        "#.toml",
        "+.toml",
        "&amp;.toml",
        "x" * 240 + ".toml",
        ".toml",
        "\udcff.toml",
        "a\nb.toml",
        "\x1b[31m.toml",
    ),
)


@dataclass(frozen=True)
class Ground:
    """A folder's files, and what is known of them.

    Attributes:
        name: of the station file.
        files: bytes by name.
        place: latitude and longitude of water there.
        spot, station, fish: that stand in the file.
        counts: tables of each list.
        log: where the log lies, from the case's folder.
    """

    name: str
    files: Mapping[str, bytes]
    place: tuple[str, str]
    spot: str
    station: str
    fish: str
    counts: Mapping[str, int]
    log: str


@cache
def _demo() -> Ground:
    counts = {"spots": 4, "stations": 2, "currents": 0, "banks": 1, "landings": 1, "ways": 3}
    files = {DEMO.name: DEMO.read_bytes(), TABLE.name: TABLE.read_bytes()}
    home = "data/ebblight/trips.db"
    return Ground(DEMO.name, files, ("29.33", "-90.60"), "railway-groyne", "gannet-bar", "", counts, home)


@cache
def _every_key() -> Ground:
    counts = {
        "spots": 1,
        "stations": 2,
        "currents": 3,
        "banks": 1,
        "landings": 2,
        "ways": 2,
        "quarry": 1,
        "rules": 1,
    }
    files = {"shore.toml": KEYS, "table.csv": CONSTITUENT_TABLES[0]}
    place = ("50.11", "-5.21")
    return Ground("shore.toml", files, place, "ledge", "pier", "Grunter", counts, "coast/trips.db")


@cache
def _bare() -> Ground:
    home = "data/ebblight/trips.db"
    return Ground("shore.toml", {"shore.toml": BARE}, ("50.1", "-5.2"), "", "pier", "", {"stations": 1}, home)


def _broken(random: Random) -> Ground:
    files = {**_every_key().files, "shore.toml": mutated((*STATION_FILES, EVERY_KEY, KEYS), random)}
    return replace(_every_key(), files=files)


def ground(random: Random) -> Ground:
    """One of them; now and then a file with problems, or other files beside."""
    chosen = random.random()
    found = _demo() if chosen < 0.35 else _every_key() if chosen < 0.85 else _bare()
    if chosen > 0.95:
        found = _broken(random)
    if random.random() < 0.03:
        found = replace(found, files={**found.files, random.choice(ODD_NAMES): BARE})
    return found


@cache
def log_of(spot: str) -> bytes:
    """A log with four trips."""
    with TemporaryDirectory() as name:
        path = Path(name) / "trips.db"
        with SqliteStore(path, create=True) as store:
            store.add(replace(FULL, spot=spot))
            for number, words in ((2, "<hostile7>"), (3, "late"), (4, "")):
                store.add(plain_trip(number, spot=spot, words=words, start=FULL.start - number * 86400.0))
        return path.read_bytes()


def laid(found: Ground, folder: Path, random: Random) -> Path:
    """The ground in a folder, with a log at times; the folder to serve."""
    coast = folder / "coast"
    for name in ("coast", "passing", "data/ebblight"):
        (folder / name).mkdir(parents=True)
    for name, data in found.files.items():
        (coast / name).write_bytes(data)
    (folder / "outside.toml").write_bytes(BARE)
    (coast / "linked.toml").symlink_to(folder / "outside.toml")
    if found.spot and random.random() < 0.7:
        (folder / found.log).write_bytes(log_of(found.spot))
    return coast


def said(found: Ground, kind: str, random: Random) -> dict[str, str]:
    """What a plain new table of a kind, a trip or a first file says."""
    latitude, longitude = found.place
    place = {"name": "Ferry steps", "latitude": latitude, "longitude": longitude}
    table = {**place, "datum": "MLLW", "mean_level": "0.2", "table_units": "metres", "phase": "greenwich"}
    some = {
        "kept": "flounder 38 41.5\nbass x2", "released": "eel", "sought": "cod", "measured": "fork",
        "turned_out": "18:20", "turned_in": "17:40", "drift": "0.8@18:20", "bared": "18:00", "lead": "6oz",
        "temperature": "18C", "wind": "12kn SW", "clarity": "cloudy", "bait": "crab", "words": "long drifts",
        "anglers": "2", "fished_for": "1h30min", "quarry": found.fish,
    }  # fmt: skip
    forms = {
        "spots": {**place, "station": found.station, "slack_lag": "10", "hours": "12:00-sunset"},
        "banks": {**place, "station": found.station, "bare_below": "0.5"},
        "landings": {**place, "station": found.station},
        "ways": {"from": "ramp", "to": found.spot, "minutes": "10"},
        "quarry": {"name": "Bream", "light": "night", "months": "sep, oct"},
        "rules": {"species": "Bream", "least_length": "30cm", "bag": "2", "source": "x",
                  "checked": "2026-03-01"},
        "stations": table,
        "currents": {**place, "flood_direction": "10", "ebb_direction": "190", "table_units": "knots",
                     "phase": "greenwich"},
        "new": {**table, "station_name": "Gauge", "spot": "Long wharf", "units": "feet", "title": "A shore"},
        "trip": {"spot": found.spot, "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"},
    }  # fmt: skip
    known = forms.get(kind, {})
    if kind in READINGS and random.random() < 0.4:
        known = {"units": random.choice(("metres", "feet")), "zone": "UTC", "level_column": "level_m"}
    if kind == "trip":
        known |= {key: value for key, value in some.items() if random.random() < 0.3}
    return known
