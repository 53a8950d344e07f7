"""Which column of several is meant, and what all that a table says comes to: one reading, or a problem."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from harmonics.files.problems import Here
from harmonics.files.published.columns import Axis, Column, Role
from harmonics.files.published.lines import Line
from harmonics.files.published.numbers import number
from harmonics.files.published.results import Note, NoteKind, Place
from harmonics.files.published.rows import PublishedRows
from harmonics.files.published.statements import Fact, Said, Value
from harmonics.files.published.units import PhaseKind, TableUnit, units_in

HOURS_FROM_SUN = 3.5
"""A clock is hardly farther from the sun's time of its longitude; both signs of a zone rarely are as near."""
GREATEST_OFFSET = 14.0
T = TypeVar("T", bound=Value)


def choose_phase(
    table: PublishedRows, axis: Axis, wanted: PhaseKind | None, top: Here, notes: list[Note]
) -> Column | None:
    """The column of lags: of several that whose title says the wanted kind, Greenwich unless asked."""
    fits = [item for item in table.columns if item.role is Role.PHASE and item.axis is axis]
    if len(fits) < 2:
        return fits[0] if fits else None
    kind = wanted or PhaseKind.GREENWICH
    liked = [item for item in fits if item.phases == {kind}] or [item for item in fits if not item.phases]
    if len(liked) != 1:
        titles = " and ".join(f"'{item.title}'" for item in liked or fits)
        top.line("phase").say(f"several columns of lags: {titles}", "one that says Greenwich")
        return None
    others = tuple(item.title for item in fits if item is not liked[0])
    notes.append(Note(NoteKind.BOTH_PHASES, (liked[0].title, *others)))
    return liked[0]


def choose_amplitude(
    table: PublishedRows, axis: Axis, wanted: TableUnit | None, top: Here, notes: list[Note]
) -> Column | None:
    """The column of amplitudes: of several that in the wanted unit, or the first where all agree."""
    fits = [item for item in table.columns if item.role is Role.AMPLITUDE and item.axis is axis]
    if len(fits) < 2:
        return fits[0] if fits else None
    liked = [item for item in fits if wanted is not None and item.units == (wanted,)]
    titles = " and ".join(f"'{item.title}'" for item in fits)
    if len(liked) != 1 and not all(_agree(table, fits[0], other) for other in fits[1:]):
        top.line("amplitude").say(f"several columns: {titles}", "one of amplitudes")
        return None
    chosen = liked[0] if len(liked) == 1 else fits[0]
    notes.append(
        Note(NoteKind.BOTH_AMPLITUDES, (chosen.title, *(item.title for item in fits if item is not chosen)))
    )
    return chosen


def _agree(table: PublishedRows, first: Column, second: Column) -> bool:
    """Whether two columns print the same amplitudes in two units, to the coarser's last digit."""
    if len(first.units) != 1 or len(second.units) != 1 or first.units == second.units:
        return False
    one, two = first.units[0].si, second.units[0].si
    for row in table.rows:
        a, b = (number(row.cells[cell_place(table, item)], table.commas) for item in (first, second))
        if a is None or b is None or abs(a.value * one - b.value * two) > 0.006 * max(one, two, 0.1):
            return False
    return True


def cell_place(table: PublishedRows, column: Column) -> int:
    """Where the column's cells stand in a row of its block."""
    return column.index - table.columns[0].index


@dataclass
class Settlement:
    """Facts settled one by one; collects their sources, and problems where two readings are left."""

    top: Here
    sources: list[Said]

    def one(
        self, where: str, said: Sequence[Said], asked: T | None, kind: type[T], fact: Fact, expected: str
    ) -> T | None:
        """The one value said or asked for; a problem where there is none, or several, or a contradiction."""
        values = list(dict.fromkeys(item.value for item in said if isinstance(item.value, kind)))
        if asked is not None and values and asked not in values:
            self.top.line(where).say(f"{_told(said)} in the table", f"{asked}, as was asked for")
        elif asked is None and len(values) > 1:
            self.top.line(where).say(_told(said), "one of them")
        elif asked is None and not values:
            self.top.line(where).say("nothing in the table", expected)
        else:
            value = values[0] if asked is None else asked
            source = next((item for item in said if item.value == value), None)
            self.sources.append(source or Said(fact, value, None))
            return value
        return None


def _told(said: Iterable[Said]) -> str:
    """Values with the line of each."""
    first: dict[object, str] = {}
    for item in said:
        first.setdefault(item.value, "" if item.line is None else f" ({item.line.where})")
    return " and ".join(f"{value}{where}" for value, where in first.items())


def settled_unit(
    table: PublishedRows,
    columns: Sequence[Column],
    said: Sequence[Said],
    asked: TableUnit | None,
    of_currents: bool,
    settlement: Settlement,
) -> TableUnit | None:
    """The unit of the amplitudes, from the column's title, its cells or the lines around the table."""
    header = table.header[-1]
    sayings = [Said(Fact.UNIT, unit, header) for column in columns for unit in column.units]
    sayings += [item for item in said if item.fact is Fact.UNIT]
    sayings += _of_cells(table, columns)
    sayings = sayings or [replace(item, fact=Fact.UNIT) for item in said if item.fact is Fact.HEIGHT_UNIT]
    fits = _said_alone(
        [
            item
            for item in sayings
            if isinstance(item.value, TableUnit) and item.value.of_currents is of_currents
        ]
    )
    return settlement.one(
        "units", fits, asked, TableUnit, Fact.UNIT, "the amplitudes' unit, in the header or given"
    )


def _said_alone(sayings: list[Said]) -> list[Said]:
    """Without lines that name several values, such as the choices of a page, where others agree on one."""
    named: dict[Line | None, set[Value]] = {}
    for item in sayings:
        named.setdefault(item.line, set()).add(item.value)
    alone = [item for item in sayings if len(named[item.line]) == 1]
    return alone if len({item.value for item in alone}) == 1 else sayings


def _of_cells(table: PublishedRows, columns: Sequence[Column]) -> list[Said]:
    found: dict[TableUnit, Said] = {}
    for column in columns:
        for row in table.rows:
            read = number(row.cells[cell_place(table, column)], table.commas)
            for unit in units_in(read.unit) if read is not None and read.unit else ():
                found.setdefault(unit, Said(Fact.UNIT, unit, row.line))
    return list(found.values())


def settled_phase(
    table: PublishedRows,
    columns: Sequence[Column],
    said: Sequence[Said],
    asked: PhaseKind | None,
    settlement: Settlement,
) -> PhaseKind | None:
    """The kind of the lags, from the column's title or from the lines around the table."""
    where, expected = "phase", "whether lags are Greenwich or local, in the header or given"
    if any(column.meridian for column in columns) and asked is None:
        found = "kappa, lags on the meridian of the place"
        better = "Greenwich lags: kappa + (cycles a day) x (degrees of longitude west)"
        settlement.top.line(where).say(found, better)
        return None
    header = table.header[-1]
    sayings = [Said(Fact.PHASE, kind, header) for column in columns for kind in sorted(column.phases)]
    titled = {item.value for item in sayings}
    for item in said:
        if item.fact is Fact.PHASE and isinstance(item.value, frozenset) and not item.value & titled:
            sayings += [Said(Fact.PHASE, kind, item.line) for kind in sorted(item.value)]
    clocks = [item for item in said if item.fact is Fact.OFFSET]
    if not sayings and asked is None and clocks:
        if all(item.value == (0.0,) for item in clocks):
            sayings = [Said(Fact.PHASE, PhaseKind.GREENWICH, clocks[0].line)]
        else:
            line = next(item.line for item in clocks if item.value != (0.0,))
            where_said = line.where if line is not None else "given"
            found = f"a clock ({where_said}) that may be that of the lags, or of the station alone"
            settlement.top.line(where).say(found, expected)
            return None
    return settlement.one(where, sayings, asked, PhaseKind, Fact.PHASE, expected)


def settled_offset(
    columns: Sequence[Column],
    header: Line,
    said: Sequence[Said],
    asked: float | None,
    longitude: float | None,
    settlement: Settlement,
) -> float | None:
    """Hours from UTC of the clock of local lags."""
    where, expected = "utc_offset", "hours from UTC of the local zone, -14 to 14"
    if asked is not None and abs(asked) > GREATEST_OFFSET:
        settlement.top.line(where).say(f"{asked:g} hours", expected)
        return None
    titled = [item.offset for item in columns if item.offset is not None]
    sayings = [Said(Fact.OFFSET, hours, header) for hours in dict.fromkeys(titled)]
    if not sayings:
        for item in said:
            if item.fact is Fact.OFFSET and isinstance(item.value, tuple):
                sayings += [Said(Fact.OFFSET, hours, item.line) for hours in _near_sun(item.value, longitude)]
        away = [item for item in sayings if item.value != 0.0]
        sayings = away or sayings
    sayings = [item for item in sayings if abs(float(str(item.value))) <= GREATEST_OFFSET]
    if not sayings and asked is None:
        settlement.top.line(where).say("no offset", expected)
        return None
    return settlement.one(where, sayings, asked, float, Fact.OFFSET, expected)


def _near_sun(hours: tuple[float, ...], longitude: float | None) -> tuple[float, ...]:
    if len(hours) == 1 or longitude is None:
        return hours
    near = tuple(item for item in hours if abs(item - longitude / 15.0) <= HOURS_FROM_SUN)
    return near if len(near) == 1 else hours


def settled_place(said: Sequence[Said], notes: list[Note]) -> Place:
    """What a table says of its station; where lines say two things neither is taken, and a note says so."""

    def only(fact: Fact) -> Said | None:
        fits = [item for item in said if item.fact is fact]
        values = list(dict.fromkeys(_key(item) for item in fits))
        if len(values) > 1 and fact is not Fact.STATION:
            lines = [f"{item.value} ({item.line.where})" for item in fits if item.line is not None]
            notes.append(Note(NoteKind.TWO_READINGS, (fact.value, *dict.fromkeys(lines))))
            return None
        return fits[0] if fits else None

    return Place(
        only(Fact.STATION),
        only(Fact.LATITUDE),
        only(Fact.LONGITUDE),
        only(Fact.DATUM),
        only(Fact.ZONE),
        only(Fact.MEAN_LEVEL),
    )


def _key(item: Said) -> object:
    return item.value.casefold() if isinstance(item.value, str) else item.value
