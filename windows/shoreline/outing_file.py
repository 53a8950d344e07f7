"""The [[landings]], [boat], [[ways]] and [outing] tables of a file, read and checked."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

from harmonics.files.checking import checked_on
from harmonics.files.problems import Here, Problems, shown, without_echoes
from harmonics.files.station_file import StationFile
from harmonics.stations.types import TideStation
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.shoreline.hours import SunMark, parse_duration, parse_time
from windows.shoreline.outing_models import (
    LENGTH_EXPECTED,
    MARGIN_EXPECTED,
    PLACE_EXPECTED,
    TIME_EXPECTED,
    BoatTable,
    LandingTable,
    OutingTable,
    SillTable,
    WayTable,
)
from windows.shoreline.outings import (
    DEFAULT_LAUNCH,
    BaitWish,
    Boat,
    DayTime,
    Landing,
    Outing,
    OutingPart,
    Sill,
    Way,
)
from windows.shoreline.routes import Place, position_of, route
from windows.shoreline.spots import Bank, Spot

SECONDS_PER_MINUTE = 60.0
LONGEST = 48 * 3600.0
GREATEST_MARGIN = 3 * 3600.0
NEXT_DAY = "next day"
_MARKS = tuple(SunMark)
_MINUTES = ("from_home", "move", "settle", "gather")
_PLAIN = ("start", "most_moves", "move_cost", "keep")


def read_outing(
    file: StationFile, spots: tuple[Spot, ...], banks: tuple[Bank, ...], problems: Problems
) -> OutingPart:
    """Landings, boat, ways and the wishes of a day out; what is wrong is added to the problems."""
    found = Problems(file.path)
    part = _Reader(file, Here("", found)).read(spots, banks)
    for problem in without_echoes(found):
        problems.add(problem)
    return part


def parse_day_time(text: str) -> DayTime:
    """A time of day from "12:30", "sunset+1h" or "02:00 next day".

    Raises:
        ValueError: none of these; the message says what is expected.
    """
    plain = text.strip().lower()
    next_day = plain.endswith(NEXT_DAY)
    try:
        end = parse_time(plain.removesuffix(NEXT_DAY))
    except ValueError as error:
        known = str(error)
        raise ValueError(known if known.startswith(("clock times", "a shift")) else TIME_EXPECTED) from None
    return DayTime(text.strip(), end, next_day)


def parse_longest(text: str) -> float:
    """Seconds that a day out may last at most.

    Raises:
        ValueError: not a length above 0, up to 48 hours.
    """
    seconds = parse_duration(text)
    if not 0.0 < seconds <= LONGEST:
        raise ValueError(LENGTH_EXPECTED)
    return seconds


def parse_margin(text: str) -> float:
    """Seconds to stay clear of the water that opens and shuts a landing or a way.

    Raises:
        ValueError: not a length from none to 3 hours.
    """
    try:
        seconds = parse_duration(text)
    except ValueError:
        raise ValueError(MARGIN_EXPECTED) from None
    if seconds > GREATEST_MARGIN:
        raise ValueError(MARGIN_EXPECTED)
    return seconds


WISHES: Mapping[str, Callable[[str], object]] = {
    "leave_after": parse_day_time,
    "home_by": parse_day_time,
    "longest": parse_longest,
    "margin": parse_margin,
}
"""What is wished of a day out in a text, by key, and what it means."""


def never_home(leave_after: DayTime, home_by: DayTime) -> bool:
    """Whether one would have to be home before one may leave, on any day of the year."""
    leave, home = leave_after.end, home_by.end
    if home_by.next_day:
        return False
    if leave.mark is None or home.mark is None:
        return leave.mark is home.mark and home.seconds <= leave.seconds
    return _MARKS.index(home.mark) <= _MARKS.index(leave.mark) and home.seconds <= leave.seconds


M = TypeVar("M", LandingTable, SillTable)


class _Reader:
    """Reads the tables of one file."""

    def __init__(self, file: StationFile, top: Here) -> None:
        self.file = file
        self.top = top
        self.tables = file.other_tables

    def read(self, spots: tuple[Spot, ...], banks: tuple[Bank, ...]) -> OutingPart:
        boat = self._boat()
        landings = self._landings(boat)
        listed: tuple[Place, ...] = (*spots, *banks, *landings)
        places = {place.id: place for place in listed}
        ways = self._ways(boat, places)
        outing = self._outing(landings)
        if outing.bait is BaitWish.NEEDED and self.top.clean:
            self._reach_of_banks(outing, landings, banks, {way.ends: way for way in ways}, boat)
        return OutingPart(landings, boat, ways, outing)

    def _boat(self) -> Boat | None:
        if "boat" not in self.tables:
            return None
        model = checked_on(BoatTable, self.tables["boat"], self.top.at("boat"), {"speed_kn": 1.0})
        if model is None:
            return Boat(1.0, 0.0)
        return Boat(model.speed_kn * METRES_PER_SECOND_PER_KNOT, model.draft * self.file.units.metres)

    def _listed(self, key: str, kind: type[M], stand_ins: Mapping[str, object]) -> Iterator[tuple[Here, M]]:
        tables, place = self.tables.get(key, []), self.top.at(key)
        if not isinstance(tables, list):
            place.say(shown(tables), f"[[{key}]] tables")
            return
        for index, item in enumerate(tables):
            here = place.at(index)
            model = checked_on(kind, item, here, {**stand_ins, "id": f"{key}-{index}"})
            if model is not None:
                yield here, model

    def _landings(self, boat: Boat | None) -> tuple[Landing, ...]:
        found: dict[str, Landing] = {}
        others = {name: key for key in ("spots", "banks") for name in self._declared(key)}
        stand_ins = {"name": "-", "latitude": 0.0, "longitude": 0.0}
        for here, model in self._listed("landings", LandingTable, stand_ins):
            if model.id in found or model.id in others:
                other = others.get(model.id, "landings")
                here.at("id").say(f"'{model.id}', the id of another of [[{other}]] too", "an id of its own")
                continue
            launch = 0.0 if boat is None else DEFAULT_LAUNCH
            found[model.id] = Landing(
                model.id,
                model.name or model.id,
                model.latitude,
                model.longitude,
                self._sill(model, boat, here),
                launch if model.launch is None else model.launch * SECONDS_PER_MINUTE,
            )
        return tuple(found.values())

    def _declared(self, key: str) -> list[str]:
        """Ids that the file gives in one of its lists, whatever else is wrong there."""
        tables = self.tables.get(key, [])
        listed = tables if isinstance(tables, list) else []
        ids = [item.get("id") for item in listed if isinstance(item, dict)]
        return [name for name in ids if isinstance(name, str)]

    def _sill(self, model: SillTable, boat: Boat | None, here: Here) -> Sill | None:
        """The water that a landing or way wants; None where it wants none."""
        least, greatest, depth = model.least_level, model.greatest_level, model.depth_at_datum
        if least is None and greatest is None and depth is None:
            return None
        if least is not None and depth is not None:
            expected = "least_level, or depth_at_datum with the boat's draft, not both"
            here.at("depth_at_datum").say(f"{depth:g} beside least_level", expected)
        if depth is not None and boat is None:
            expected = "a [boat] with its draft (`ebblight add boat`)"
            here.at("depth_at_datum").say(f"{depth:g} without a [boat]", expected)
        if least is not None and greatest is not None and least >= greatest:
            here.at("greatest_level").say(f"{greatest:g}", f"more than least_level, {least:g}")
        station = self._station(model.station, here.at("station"))
        if station is None:
            return None
        unit = self.file.units.metres
        if depth is not None and boat is not None:
            least = boat.draft / unit - depth
        return Sill(station, *(None if level is None else level * unit for level in (least, greatest, depth)))

    def _station(self, name: str | None, here: Here) -> TideStation | None:
        stations = self.file.stations
        if name is None:
            if len(stations) == 1:
                return stations[0]
            here.missing("the station whose level it is")
            return None
        station = next((item for item in stations if item.id == name), None)
        if station is None and name not in self.file.unread:
            known = ", ".join(item.id for item in stations) or "none that could be read"
            here.say(f"'{name}'", f"the id of one of [[stations]] ({known})")
        return station

    def _ways(self, boat: Boat | None, places: Mapping[str, Place]) -> tuple[Way, ...]:
        found: dict[frozenset[str], Way] = {}
        declared = {name for key in ("spots", "banks", "landings") for name in self._declared(key)}
        for here, model in self._listed("ways", WayTable, {"from": "-", "to": "-"}):
            start, end, minutes = (getattr(model, key) for key in ("from", "to", "minutes"))
            named = (("from", start), ("to", end))
            lost = [(key, name) for key, name in named if name not in places and name not in declared]
            for key, name in lost:
                here.at(key).say(f"'{name}'", f"{PLACE_EXPECTED} ({', '.join(places) or 'none'})")
            pair = frozenset((start, end))
            if start == end and not lost:
                here.at("to").say(f"'{end}', where it starts", "another place")
            elif pair in found:
                here.at("to").say(f"the way between '{start}' and '{end}' again", "each way once")
            elif not lost:
                self._measured(minutes, start, end, places, here.at("minutes"))
            sill = self._sill(model, boat, here)
            seconds = None if minutes is None else minutes * SECONDS_PER_MINUTE
            found.setdefault(pair, Way(pair, seconds, sill))
        return tuple(found.values())

    def _measured(
        self, minutes: float | None, start: str, end: str, places: Mapping[str, Place], here: Here
    ) -> None:
        """A way without minutes needs both positions."""
        ends = [places[name] for name in (start, end) if name in places]
        without = next((place.id for place in ends if position_of(place) is None), None)
        if minutes is None and without is not None:
            here.missing(f"minutes, for '{without}' has no latitude and longitude")

    def _outing(self, landings: tuple[Landing, ...]) -> Outing:
        base, here = Outing(), self.top.at("outing")
        model = checked_on(OutingTable, self.tables.get("outing", {}), here, {})
        if model is None:
            return base
        changes: dict[str, Any] = {key: getattr(model, key) for key in _PLAIN}
        for key in _MINUTES:
            minutes = getattr(model, key)
            changes[key] = None if minutes is None else minutes * SECONDS_PER_MINUTE
        for key, parse in {**WISHES, "bait": BaitWish}.items():
            text = getattr(model, key)
            changes[key] = None if text is None else here.at(key).parsed(parse, text)
        changes["start"] = self._start(model.start, landings, here.at("start"))
        outing = base._replace(**{key: value for key, value in changes.items() if value is not None})
        self._check_times(outing, here)
        return outing

    def _start(self, name: str | None, landings: tuple[Landing, ...], here: Here) -> str | None:
        known = ", ".join(landing.id for landing in landings)
        declared = self._declared("landings")
        expected = f"the id of one of [[landings]] ({known or 'this file has none'})"
        if name is not None and name not in declared:
            here.say(f"'{name}'", expected)
        return name or (landings[0].id if landings else None)

    def _check_times(self, outing: Outing, here: Here) -> None:
        leave, home = outing.leave_after, outing.home_by
        if leave.next_day:
            here.at("leave_after").say(shown(leave.text), "a time of the day one leaves on")
        elif never_home(leave, home):
            found = f"'{home.text}', before leaving after '{leave.text}'"
            here.at("home_by").say(found, 'a later time; "02:00 next day" is the day after')

    def _reach_of_banks(
        self,
        outing: Outing,
        landings: tuple[Landing, ...],
        banks: tuple[Bank, ...],
        ways: Mapping[frozenset[str], Way],
        boat: Boat | None,
    ) -> None:
        here = self.top.at("outing", "bait")
        start = next((landing for landing in landings if landing.id == outing.start), None)
        if not self._declared("banks"):
            expected = 'a [[banks]] table, or bait = "if possible" or "none"'
            here.say("'needed' in a file without [[banks]]", expected)
        elif start is not None and banks and all(route(start, bank, ways, boat) is None for bank in banks):
            expected = f"minutes of one of [[ways]] from '{start.id}' to a bank, or the bank's position"
            here.say("'needed', but no way to a bank is known", expected)
