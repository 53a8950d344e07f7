"""All that writes, each on a small folder of its own: what is run, and what another does meanwhile."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from harmonics.records import cache
from tests.cli.log_runs import LOG, YESTERDAY
from tests.cli.runs import NOW, run
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written
from tests.windows.log.lesson_books import shore_of as lesson_shore
from windows.log.storage import SqliteStore
from windows.render.formats import WRITERS as FORMATS
from windows.render.formats import ResultKind

HEADING = "Amplitudes in metres, phases GMT\nName Amplitude Phase\n"
TABLE = f"{HEADING}M2 1.5 120\nS2 0.5 160\nK1 0.1 80\nO1 0.1 50\n"
PLACE = ("--station-name", "Pier", "--latitude", "50.1", "--longitude", "-5.2")
TRIP = ("--spot", "ledge", *YESTERDAY, "--kept", "flounder 38")
LATER = ("--start", "2026-08-08 17:30", "--end", "18:15", "--nothing", "--words", "later")
LANDING = '\n[[landings]]\nid = "ramp"\nname = "Ramp"\nlatitude = 50.1\nlongitude = -5.2\n'
OLD = b"what was there before\n"
Act = Callable[[Path], tuple[int, str]]


@dataclass(frozen=True)
class Writer:
    """One way to write.

    Attributes:
        name: for the table.
        act: does it in the folder; status and what is told.
        other: another process's change of the same, in the same folder.
        target: name of the file it is about; None where that is the log.
        prepare: lays out more than the shore.
        quiet: whether a fault costs time alone, so that success is told all the same.
        both: whether both changes must stand after two at once.
        middle: the first of two steps, where it writes twice; what that leaves is whole as well.
        spare: how names of files begin that hinder nobody where they can't be taken away.
    """

    name: str
    act: Act
    other: Act
    target: str | None
    prepare: Callable[[Path], None] = lambda folder: None
    quiet: bool = False
    both: bool = False
    middle: Act | None = None
    spare: str = "/"


def laid_out(folder: Path) -> Path:
    """The shore in the folder."""
    return written(folder, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, LOG, LANDING)


def shore_in(folder: Path) -> Path:
    return folder / "shore.toml"


def command(*arguments: str, now: float = NOW) -> Act:
    """The command, where SHORE is the station file, and what begins with @ lies in the folder."""

    def act(folder: Path) -> tuple[int, str]:
        told = [
            str(shore_in(folder)) if item == "SHORE" else str(folder / item[1:]) if item[0] == "@" else item
            for item in arguments
        ]
        found = run(*told, now=now)
        return found.code, found.err

    return act


def old(name: str, folder: Path) -> None:
    (folder / name).write_bytes(OLD)


def table(folder: Path) -> None:
    (folder / "table.txt").write_text(TABLE)


LISTINGS = ("tides", "levels", "sky")
FORECASTS = {
    ResultKind.WEEK: ("--days", "1"),
    ResultKind.BEST: ("--days", "1"),
    ResultKind.COMPARE: ("--days", "1"),
    ResultKind.NOW: (),
    ResultKind.PLAN: (),
}


def outputs() -> list[Writer]:
    """Every format of every command that prints of a shore."""
    asked = [(kind.name.lower(), kind, options) for kind, options in FORECASTS.items()]
    asked += [(verb, ResultKind.LISTING, ("--days", "1")) for verb in LISTINGS]
    return [output(verb, form, options) for verb, kind, options in asked for form in FORMATS[kind]]


def output(verb: str, form: str, options: tuple[str, ...]) -> Writer:
    """A result over an old one; a calendar over that of an earlier day, cancellations and all."""
    name = "result.ics" if form == "ics" else "result"
    asked = (verb, "SHORE", *options, "--format", form, "-o", f"@{name}")
    act, later = command(*asked), command(*asked, now=NOW + 3 * 86400.0)
    if form == "ics":
        return Writer(f"{verb} {form}", later, later, name, partial(before, act))
    return Writer(f"{verb} {form}", act, later, name, partial(old, name))


def before(act: Act, folder: Path) -> None:
    """A calendar of another day, which the new one takes the place of, cancellations and all."""
    assert act(folder)[0] == 0


def begun_log(folder: Path) -> None:
    assert command("log", "add", "SHORE", "--spot", "ledge", *LATER)(folder)[0] == 0


def export(folder: Path) -> None:
    begun_log(folder)
    assert command("log", "export", "SHORE", "-o", "@trips.csv")(folder)[0] == 0
    shutil.rmtree(folder / "kept")


def stored(value: float, folder: Path) -> tuple[int, str]:
    cache.save("levels", {"t": np.arange(500.0) * value})
    return 0, ""


def lessons(folder: Path) -> None:
    """Trips whose slacks came later than the file says, enough of them to be learned from."""
    from tests.cli.test_log_report import watched

    path = lesson_shore(folder).path
    with SqliteStore(folder / "learn.db", create=True) as store:
        store.add_all(watched(path))


def record(folder: Path) -> None:
    """A month of hourly levels."""
    hours = np.arange(30 * 24)
    levels = 1.5 * np.cos(np.radians(28.984104 * hours)) + 0.3 * np.cos(np.radians(15.041069 * hours))
    stamps = np.datetime64("2026-06-01T00:00") + hours.astype("timedelta64[h]")
    rows = (f"{stamp}Z,{level:.3f}" for stamp, level in zip(stamps, levels, strict=True))
    (folder / "record.csv").write_text("time_utc,level_m\n" + "\n".join(rows) + "\n")


def trips(folder: Path) -> list[tuple[float, str | None, bool]]:
    """The log's trips, as far as each run makes the same; no file yet is an empty log."""
    place = folder / "kept" / "trips.db"
    if not place.is_file() or not place.stat().st_size:
        return []
    with SqliteStore(place) as store:
        return [(trip.start, trip.words, trip.removed_at is None) for trip in store.trips(removed=True)]


def changes() -> list[Writer]:
    """All that writes of a file's own, the log and the record store."""
    spot = ("add", "spot", "SHORE", "--station", "pier", "--latitude", "50.1", "--longitude", "-5.21")
    level = ("--datum", "LAT", "--mean-level", "2.5")
    there = ("--latitude", "50.2", "--longitude", "-5.3", *level)
    station = ("add", "station", "SHORE", "--table", "@table.txt", *there)
    whole = ("@.", "--days", "1", "--format", "csv", "-o", "@results")
    clock = ("--spot", "Reef", "--time-zone", "Europe/London")
    new = ("new", "@table.txt", "-o", "@begun", *PLACE, *level, *clock)
    return [
        Writer(
            "add spot",
            command(*spot, "--name", "One"),
            command(*spot, "--name", "Two"),
            "shore.toml",
            both=True,
        ),
        Writer(
            "add station",
            command(*station, "--name", "One"),
            command(*station, "--name", "Two"),
            "shore.toml",
            table,
            both=True,
        ),
        Writer("new", command(*new), command(*new), "begun/pier.toml", table),
        *(
            Writer(
                f"import {form}",
                command("import", "@table.txt", *PLACE[2:], "--format", form, "-o", "@result"),
                command("import", "@table.txt", "--format", "csv", "-o", "@result"),
                "result",
                table,
            )
            for form in FORMATS[ResultKind.CONSTITUENTS]
        ),
        Writer(
            "log add",
            command("log", "add", "SHORE", *TRIP),
            command("log", "add", "SHORE", "--spot", "ledge", *LATER),
            None,
            both=True,
        ),
        Writer(
            "log edit",
            command("log", "edit", "SHORE", "1", "--words", "other"),
            command("log", "add", "SHORE", *TRIP),
            None,
            begun_log,
            both=True,
        ),
        Writer(
            "log import",
            command("log", "import", "@trips.csv", "SHORE"),
            command("log", "add", "SHORE", *TRIP),
            None,
            export,
            both=True,
        ),
        Writer(
            "log export",
            command("log", "export", "SHORE", "-o", "@out.csv"),
            command("log", "export", "SHORE", "-o", "@out.csv"),
            "out.csv",
            begun_log,
        ),
        Writer(
            "log learn --write",
            command("log", "learn", "SHORE", "--log", "@learn.db", "--write"),
            command(*spot, "--name", "Two"),
            "shore.toml",
            lessons,
        ),
        *(
            Writer(
                f"fit {form}",
                command("fit", "@record.csv", *PLACE[2:], "--format", form, "-o", "@result"),
                command("fit", "@record.csv", *PLACE[2:], "--format", "csv", "-o", "@result"),
                "result",
                record,
            )
            for form in ("csv", "json")
        ),
        *(
            Writer(
                f"{verb} of a folder",
                command(verb, *whole),
                command(verb, *whole, now=NOW + 3 * 86400.0),
                "results/shore.csv",
            )
            for verb in ("tides", "levels")
        ),
        Writer("record store", partial(stored, 1.0), partial(stored, 2.0), None, quiet=True),
    ]
