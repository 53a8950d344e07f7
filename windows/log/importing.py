"""Trips from CSV: the log's own, or a notebook's with as little as spot, start, end and species."""

import csv
import difflib
import io
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from harmonics.files.problems import Here, Problems, shown
from harmonics.files.spreadsheets import active
from harmonics.files.text_files import read_text
from harmonics.files.zones import EXPECTED, zone_named
from windows.log.exchange import COLUMNS, FISHED, OF_SPECIES, PLANNED
from windows.log.trips import (
    FIRST_YEAR,
    LAST_YEAR,
    MOST_FISH,
    Catch,
    Clarity,
    FactorPoints,
    Fish,
    FrozenForecast,
    Made,
    Seen,
    SeenKind,
    Trip,
    faults,
    uid_of,
)
from windows.shoreline.rules import Measured

NEEDED = ("spot", "start_utc or start_local", "end_utc or end_local")
_FISH = re.compile(r"(kept|released)(?: (\S+) m)?(?: (fork|total))?(?: (\S+Z))?")
_SEEN = re.compile(r"([a-z_]+) (\S+Z)(?: (\S+) m/s)?")
_FACTOR = re.compile(r"([a-z_]+) (\S+) of (\S+)")
_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]{1,3})?")
_TOLD_BY = ("spot", "start_utc", "start_local", "end_utc", "end_local")
V = TypeVar("V")


@dataclass(frozen=True)
class Background:
    """What a table may leave out: title and clock of the shore, names of its spots, and the clock."""

    shore: str
    zone: str | None
    spots: Mapping[str, str]
    now: float


def read_trips(path: Path, background: Background) -> tuple[Trip, ...]:
    """Every trip of a table, in its order.

    Raises:
        FileProblemsError: with every problem, each with its line and column.
    """
    text = read_text(path, "a CSV table of trips")
    problems = Problems(path)
    top = Here("", problems)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    lines: list[_Line] = []
    try:
        head = [name.strip() for name in next(reader, [])]
        if _head_is_fine(head, top.line("line 1")):
            for cells in reader:
                if any(cells):
                    lines.append(_line(head, cells, top.line(f"line {reader.line_num}")))
    except csv.Error as error:
        top.line(f"line {reader.line_num}").say(f"a row that is not CSV: {error}", "CSV")
    trips = [_Reader(group, background).trip() for group in _grouped(lines)]
    if problems:
        raise problems.error()
    return tuple(trip for trip in trips if trip is not None)


@dataclass(frozen=True)
class _Line:
    """A line of a table: its place, and its cells by column."""

    here: Here
    cells: dict[str, str]


def _head_is_fine(head: list[str], here: Here) -> bool:
    before = len(here.problems)
    for name in head:
        if name not in COLUMNS:
            near = difflib.get_close_matches(name[:60], COLUMNS, 1)
            hint = f"'{near[0]}'? " if near else ""
            here.say(f"an unknown column {shown(name)}", f"{hint}one of {', '.join(COLUMNS)}")
        elif head.count(name) > 1:
            here.say(f"the column '{name}' twice", "each column once")
    for needed in NEEDED:
        if not any(name in head for name in needed.split(" or ")):
            here.say(f"no column {needed}", f"at least {', '.join(NEEDED)}")
    return len(here.problems) == before


def _line(head: list[str], cells: list[str], here: Here) -> _Line:
    if len(cells) != len(head):
        here.say(f"{len(cells)} cells", f"{len(head)}, as in the first line")
    return _Line(here, dict(zip(head, [*cells, *[""] * len(head)], strict=False)))


def _grouped(lines: list[_Line]) -> list[list[_Line]]:
    """Lines of one trip together, by its uid, its number, or its spot and times."""
    groups: dict[tuple[str, ...], list[_Line]] = {}
    for line in lines:
        key: tuple[str, ...] = (line.cells.get("uid", ""), line.cells.get("trip", ""))
        if not any(key):
            key = tuple(line.cells.get(name, "") for name in _TOLD_BY)
        group = groups.setdefault(key, [])
        for name, cell in line.cells.items() if group else ():
            first = group[0]
            if name not in OF_SPECIES and cell != first.cells[name]:
                found = f"{shown(cell)}, but {shown(first.cells[name])} in {first.here.where} of this trip"
                line.here.at(name).say(found, "one value a trip")
        group.append(line)
    return list(groups.values())


class _Reader:
    """Reads one trip; problems go to the lines they stand in."""

    def __init__(self, lines: list[_Line], background: Background) -> None:
        self.lines = lines
        self.row = lines[0].cells
        self.here = lines[0].here
        self.background = background

    def trip(self) -> Trip | None:
        """The trip; None where something in it is wrong."""
        before = len(self.here.problems)
        spot, zone = self._text("spot"), self._zone()
        start, end = self._moment("start", zone), self._moment("end", zone)
        if not spot:
            self._wrong("spot", "", "the id of a spot")
        if start is None or end is None or len(self.here.problems) > before:
            return None
        trip = Trip(
            uid=self._text("uid") or uid_of(self.background.shore, spot, start, end),
            spot=spot,
            spot_name=self._text("spot_name") or self.background.spots.get(spot, spot),
            shore=self._text("shore") or self.background.shore,
            zone=zone or "UTC",
            start=start,
            end=end,
            logged_at=self._known("logged_utc", _instant, self.background.now),
            anglers=self._known("anglers", _whole, 1),
            fished_for=self._get("fished_for_s", _number),
            bait=self._text("bait"),
            quarry=self._text("quarry"),
            catches=self._catches(),
            seen=tuple(self._items("seen", _seen)),
            lead_held=self._get("lead_held_kg", _number),
            temperature=self._get("water_temperature_degC", _number),
            wind_speed=self._get("wind_speed_m_s", _number),
            wind_from=self._get("wind_from_deg", _number),
            clarity=self._get("clarity", Clarity),
            words=self._text("words"),
            forecast=self._forecast(),
            planned_start=self._get("planned_start_utc", _instant),
            planned_end=self._get("planned_end_utc", _instant),
            fished=self._known("state", _state, True),
            removed_at=self._get("removed_utc", _instant),
            number=self._get("trip", _whole),
        )
        if len(self.here.problems) > before:
            return None
        found = faults(trip)
        for item in found:
            self.here.at(item.where).say(item.found, item.expected)
        return None if found else trip

    def _wrong(self, column: str, text: str, expected: str) -> None:
        self.here.at(column).say(shown(text) if text else "nothing", expected)

    def _text(self, column: str) -> str:
        return " ".join(active(self.row.get(column, "").strip()).split())

    def _get(self, column: str, read: Callable[[str], V]) -> V | None:
        text = self.row.get(column, "").strip()
        if not text:
            return None
        try:
            return read(text)
        except ValueError as error:
            self._wrong(column, text, str(error))
            return None

    def _known(self, column: str, read: Callable[[str], V], otherwise: V) -> V:
        found = self._get(column, read)
        return otherwise if found is None else found

    def _zone(self) -> str | None:
        name = self._text("time_zone") or self.background.zone
        if name is None:
            return None
        zone = zone_named(name)
        if zone is None:
            self._wrong("time_zone", name, EXPECTED)
        return None if zone is None else zone.key

    def _moment(self, which: str, zone: str | None) -> float | None:
        """From the UTC column, else from the local one with an offset or the trip's zone."""
        if self.row.get(f"{which}_utc", "").strip():
            return self._get(f"{which}_utc", _instant)
        column = f"{which}_local" if f"{which}_local" in self.row else f"{which}_utc"
        text = self.row.get(column, "").strip()
        try:
            local = datetime.fromisoformat(text)
        except ValueError:
            self._wrong(column, text, "a time such as 2026-08-15 18:20")
            return None
        if local.tzinfo is None and zone is None:
            self._wrong(column, text, "an offset, a time_zone column, or the station file beside the table")
            return None
        return (local if local.tzinfo else local.replace(tzinfo=ZoneInfo(zone or "UTC"))).timestamp()

    def _items(self, column: str, read: Callable[[str], V]) -> list[V]:
        return self._known(column, lambda text: [read(part) for part in text.split("; ")], [])

    def _catches(self) -> tuple[Catch, ...]:
        catches = []
        for line in self.lines:
            self.row, self.here = line.cells, line.here
            name = self._text("species")
            fish = self._fish()
            if name:
                catches.append(Catch(name, fish))
            elif fish:
                self._wrong("species", "", f"the species of {len(fish)} fish")
        self.row, self.here = self.lines[0].cells, self.lines[0].here
        return tuple(catches)

    def _fish(self) -> tuple[Fish, ...]:
        """The fish of a row one by one, which its counts may not contradict; else as they are counted."""
        told = tuple(self._items("fish", _fish))
        if not told:
            return self._counted()
        for column, count in (("kept", sum(fish.kept for fish in told)), ("caught", len(told))):
            if self._known(column, _whole, count) != count:
                self._wrong(column, self.row[column], f"{count}, as the column 'fish' has it")
        return told

    def _counted(self) -> tuple[Fish, ...]:
        """Fish that are only counted; what was caught and not kept went back."""
        kept = self._known("kept", _whole, 0)
        released = self._known("released", _whole, max(0, self._known("caught", _whole, kept) - kept))
        if kept + released > MOST_FISH:
            self._wrong("caught", str(kept + released), f"at most {MOST_FISH}")
            return ()
        return (Fish(True),) * kept + (Fish(False),) * released

    def _forecast(self) -> FrozenForecast | None:
        points = self._get("points", _number)
        if points is None:
            return None
        if not 0.0 <= points <= 100.0:
            self._wrong("points", self.row["points"], "0 to 100")
        chance = self._get("chance", _number)
        if chance is not None and not 0.0 <= chance <= 1.0:
            self._wrong("chance", self.row["chance"], "0 to 1")
        return FrozenForecast(
            points,
            tuple(self._items("points_by_factor", _factor)),
            self._text("forecast_version"),
            self._known("forecast_made_utc", _instant, self.background.now),
            self._known("forecast_made", _made, Made.LATER),
            chance,
        )


def _number(text: str) -> float:
    if _NUMBER.fullmatch(text) is None:
        raise ValueError("a number")
    return float(text)


def _whole(text: str) -> int:
    if re.fullmatch(r"[0-9]{1,9}", text) is None:
        raise ValueError("a whole number")
    return int(text)


def _instant(text: str) -> float:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or moment.utcoffset() is None:
        raise ValueError("a time such as 2026-08-15T23:05:00Z")
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise ValueError(f"a year from {FIRST_YEAR} to {LAST_YEAR}")
    return moment.timestamp()


def _state(text: str) -> bool:
    if text not in {FISHED, PLANNED}:
        raise ValueError(f"{FISHED} or {PLANNED}")
    return text == FISHED


def _made(text: str) -> Made:
    if text not in {kind.value for kind in Made}:
        raise ValueError(f"one of {', '.join(kind.value for kind in Made)}")
    return Made(text)


def _fish(text: str) -> Fish:
    match = _FISH.fullmatch(text)
    if match is None:
        raise ValueError('fish such as "kept 0.38 m fork; released"')
    return Fish(
        match[1] == "kept",
        None if match[2] is None else _number(match[2]),
        None if match[3] is None else Measured(match[3]),
        None if match[4] is None else _instant(match[4]),
    )


def _seen(text: str) -> Seen:
    match = _SEEN.fullmatch(text)
    if match is None or match[1] not in {kind.value for kind in SeenKind}:
        kinds = ", ".join(kind.value for kind in SeenKind)
        raise ValueError(f'one of {kinds}, such as "turned_out 2026-08-15T23:05:00Z"')
    return Seen(SeenKind(match[1]), _instant(match[2]), None if match[3] is None else _number(match[3]))


def _factor(text: str) -> FactorPoints:
    match = _FACTOR.fullmatch(text)
    if match is None:
        raise ValueError('points by factor such as "flow 50 of 60; light 20 of 35"')
    return FactorPoints(match[1], _number(match[2]), _number(match[3]))
