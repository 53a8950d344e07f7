"""Tables of harmonic constants as agencies publish them, read into constants of a tide or of a current.

Text divided by tabs, commas, semicolons, bars or spaces, pages saved from a browser, and JSON documents.
Each fact is taken from the table's own words, and the line that says it is kept beside it. What a table does
not say and the caller does not give is a problem, never a guess, and so is what two lines say differently.
"""

from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from harmonics.bounds import HEIGHT, MEAN_FLOW
from harmonics.errors import FileProblemsError
from harmonics.files.constituent_tables import COLUMNS, constants_of
from harmonics.files.constituent_tables import Row as CheckedRow
from harmonics.files.problems import MAXIMUM_SHOWN, Here, Problems, without_echoes
from harmonics.files.published.choices import (
    Settlement,
    cell_place,
    choose_amplitude,
    choose_phase,
    settled_offset,
    settled_phase,
    settled_place,
    settled_unit,
)
from harmonics.files.published.columns import Axis, Column, Role
from harmonics.files.published.currents import axes_of, head_of, is_current
from harmonics.files.published.documents import lines_of_json
from harmonics.files.published.lines import Line, lines_of_text
from harmonics.files.published.numbers import CommaReading, absent, number
from harmonics.files.published.pages import is_html, lines_of_html
from harmonics.files.published.places import place_statements
from harmonics.files.published.results import ImportedCurrent, ImportedTable, Note, NoteKind, TableFacts
from harmonics.files.published.rows import PublishedRows, published_rows
from harmonics.files.published.speeds import checked_speeds
from harmonics.files.published.statements import Fact, number_statements
from harmonics.files.published.units import PhaseKind, TableUnit
from harmonics.files.text_files import read_any_text
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import LengthUnit

MAXIMUM_BYTES = 4 * 2**20
"""Agencies publish a few hundred lines a station; a saved page holds a megabyte or two of script."""
MOST_LINES = 100_000
"""Lines of text, rows or objects that are looked at."""
_WHOLE_UNITS = (TableUnit.METRES, TableUnit.FEET, TableUnit.KNOTS, TableUnit.METRES_PER_SECOND)
TABLE = "table"
"""Where a problem of the whole table lies; what is wrong in its rows says more."""
EXPECTED = "a published table of constituents (text, CSV, a saved page or JSON)"


@dataclass(frozen=True)
class TableOptions:
    """What the caller knows of a table; settles what the table leaves open, and must not contradict it.

    Attributes:
        unit: of the amplitudes.
        phase: what the lags are reckoned from.
        utc_offset: hours of the clock of local lags: G = g - speed x utc_offset.
        longitude: degrees, east positive; tells the sign of a zone.
        directions: of a current: flood, ebb and minor axis in degrees true, mean flow in knots.
    """

    unit: TableUnit | None = None
    phase: PhaseKind | None = None
    utc_offset: float | None = None
    longitude: float | None = None
    directions: dict[Fact, float | None] = field(default_factory=dict)


def read_published(path: Path, options: TableOptions | None = None) -> ImportedTable | ImportedCurrent:
    """As `import_table`, of a file; text that is not UTF-8 is read as Windows-1252, with a note."""
    text, older = read_any_text(path, EXPECTED, MAXIMUM_BYTES)
    found = import_table(text, str(path), options)
    if not older:
        return found
    notes = (*found.facts.notes, Note(NoteKind.NOT_UTF8))
    return replace(found, facts=replace(found.facts, notes=notes))


def import_table(
    text: str, path: str, options: TableOptions | None = None
) -> ImportedTable | ImportedCurrent:
    """Constants from the text of a published table.

    Args:
        text: as published.
        path: how problems name it.
        options: what the caller knows.

    Raises:
        FileProblemsError: anything is missing, doubtful or wrong; every problem is named.
    """
    problems = Problems(path)
    top = Here("", problems)
    lines = _lines(text, path)
    if len(lines) > MOST_LINES:
        top.say(f"{len(lines):,} lines", f"{EXPECTED} of {MOST_LINES:,} lines at most")
    table = None if problems else published_rows(lines, top)
    if table is None:
        raise problems.error()
    found = _Reading(table, options or TableOptions(), top).read()
    if found is None and not problems:
        top.line("header").say("no amplitude and phase lag that belong together", EXPECTED)
    if problems or found is None:
        rows = [item for item in without_echoes(problems) if item.where != TABLE]
        raise FileProblemsError(path, tuple(rows or problems))
    return found


def _lines(text: str, path: str) -> list[Line]:
    if text.lstrip()[:1] in ("{", "["):
        return lines_of_json(text, path)
    return lines_of_html(text, path) if is_html(text) else lines_of_text(text)


class _Reading:
    """One table on its way to constants: facts settled, columns chosen, rows checked."""

    def __init__(self, table: PublishedRows, options: TableOptions, top: Here) -> None:
        self.table = table
        self.options = options
        self.top = top
        self.notes: list[Note] = []
        self.settlement = Settlement(top, [])
        self.said = number_statements(table.prose)
        self.places = place_statements(table.prose)
        self.offset: float | None = None
        self.scale = self.part = 1.0

    def read(self) -> ImportedTable | ImportedCurrent | None:
        """The whole of it; None where problems leave nothing."""
        if self.table.commas is CommaReading.DOUBT:
            found = "numbers such as 1,371 that may be 1.371 or 1371"
            self.top.line("numbers").say(found, "decimal points")
            return None
        of_current = is_current(self.table, self.said, self.options.unit)
        facts = self._facts(of_current)
        if facts is None:
            return None
        unit = facts.published
        self.part = 1.0 if unit in _WHOLE_UNITS else unit.si
        self.scale, self.offset = unit.si / self.part, facts.utc_offset
        self._check_speeds()
        result = self._current(facts) if of_current else self._tide(facts)
        if result is None:
            return None
        self._tell_passed_over()
        return replace(result, facts=replace(facts, notes=tuple(self.notes)))

    def _facts(self, current: bool) -> TableFacts | None:
        options, table = self.options, self.table
        amplitudes = [item for item in table.columns if item.role is Role.AMPLITUDE]
        phases = [item for item in table.columns if item.role is Role.PHASE]
        if not current:
            chosen = choose_amplitude(table, Axis.NONE, options.unit, self.top, self.notes)
            amplitudes = [] if chosen is None else [chosen]
            lags = choose_phase(table, Axis.NONE, options.phase, self.top, self.notes)
            phases = [] if lags is None else [lags]
        if not amplitudes or not phases:
            return None
        place = settled_place([*self.places, *self.said], self.notes)
        unit = settled_unit(table, amplitudes, self.said, options.unit, current, self.settlement)
        phase = settled_phase(table, phases, self.said, options.phase, self.settlement)
        offset = None
        if phase is PhaseKind.LOCAL:
            longitude = options.longitude
            if longitude is None and place.longitude is not None:
                longitude = float(str(place.longitude.value))
            offset = settled_offset(
                phases, table.header[-1], self.said, options.utc_offset, longitude, self.settlement
            )
        # What could not be settled is a problem by now; stood in for, so that the rows are looked at as well.
        unit = unit or (TableUnit.KNOTS if current else TableUnit.METRES)
        phase = phase or PhaseKind.GREENWICH
        return TableFacts(unit, phase, offset, tuple(self.settlement.sources), (), place)

    def _check_speeds(self) -> None:
        columns = [item for item in self.table.columns if item.role is Role.SPEED]
        if len(columns) != 1:
            self.notes.append(Note(NoteKind.NO_SPEEDS))
            return
        place = cell_place(self.table, columns[0])
        found = checked_speeds(self.table.rows, place, columns[0].title, self.table.commas, self.top)
        self.table = replace(self.table, rows=found.rows)
        self.notes.append(Note(NoteKind.SPEEDS_AGREE))
        for row, name in found.other_meanings:
            self.notes.append(Note(NoteKind.OTHER_MEANING, (row.name, name, row.line.where)))

    def _tide(self, facts: TableFacts) -> ImportedTable | None:
        amplitude = choose_amplitude(self.table, Axis.NONE, self.options.unit, self.top, [])
        phase = choose_phase(self.table, Axis.NONE, self.options.phase, self.top, [])
        if amplitude is None or phase is None:
            return None
        constants = self._constants(amplitude, phase, signed=False)
        mean = self._mean_level(amplitude, facts)
        feet = facts.published in (TableUnit.FEET, TableUnit.INCHES)
        unit = LengthUnit.FEET if feet else LengthUnit.METRES
        if mean is not None and not HEIGHT.holds(mean / unit.metres):
            self.top.line("mean level").say(f"{mean / unit.metres:.6g}", f"from {HEIGHT} {unit.value}")
        return None if constants is None else ImportedTable(self._kept(constants), unit, mean, facts)

    def _kept(self, constants: HarmonicConstants) -> HarmonicConstants:
        dropped = tuple(name for name, wave in constants.named().items() if not wave.amplitude > 0)
        if dropped:
            self.notes.append(Note(NoteKind.NO_AMPLITUDE, dropped))
        return constants.keep(constants.amplitude > 0)

    def _mean_level(self, amplitude: Column, facts: TableFacts) -> float | None:
        """From the row Z0 where there is one, or from the lines around the table."""
        place = cell_place(self.table, amplitude)
        for row in self.table.means:
            read = number(row.cells[place], self.table.commas)
            if read is not None:
                return read.value * facts.published.si
        said = facts.place.mean_level
        return None if said is None else float(str(said.value)) * (said.unit or facts.published).si

    def _current(self, facts: TableFacts) -> ImportedCurrent | None:
        head = head_of(self.table, self.places, facts.published, self.options.directions, self.top)
        for words, flow in (("mean flow", head.mean_along), ("mean flow across", head.mean_across)):
            knots = flow / TableUnit.KNOTS.si
            if not MEAN_FLOW.holds(knots):
                self.top.line(words).say(f"{knots:.6g} knots", f"from {MEAN_FLOW} knots")

        def constants(amplitude: Axis, phase: Axis) -> HarmonicConstants | None:
            first = choose_amplitude(self.table, amplitude, self.options.unit, self.top, self.notes)
            second = choose_phase(self.table, phase, self.options.phase, self.top, self.notes)
            if first is None or second is None:
                return None
            return self._constants(first, second, signed=amplitude is Axis.MINOR)

        axes = axes_of(self.table, constants, head, self.top, self.notes)
        if axes is None:
            return None
        flood = head.flood
        if flood is None and axes.axis_direction is not None and not axes.geographic:
            flood = axes.axis_direction
            self.notes.append(Note(NoteKind.FLOOD_IS_AXIS, (f"{flood:g}",)))
        return ImportedCurrent(
            self._kept(axes.along),
            None if axes.across is None else axes.across.keep(axes.across.amplitude > 0),
            axes.axis_direction,
            axes.across_direction,
            flood,
            head.ebb,
            head.mean_along,
            head.mean_across if axes.across is not None else 0.0,
            facts,
        )

    def _constants(self, amplitude: Column, phase: Column, *, signed: bool) -> HarmonicConstants | None:
        """Checked constants of two columns, SI and Greenwich; lines without a tide left out and told."""
        rows, signs, empty = [], [], []
        first, second = (cell_place(self.table, item) for item in (amplitude, phase))
        for row in self.table.rows:
            cells = row.cells[first], row.cells[second]
            if all(absent(cell) for cell in cells):
                empty.append(row.name)
                continue
            size, lag = (self._value(cell) for cell in cells)
            sign = -1.0 if signed and isinstance(size, float) and size < 0 else 1.0
            signs.append(sign)
            turned = size * sign * self.part if isinstance(size, float) else size
            values = dict(zip(COLUMNS, (row.name, turned, lag), strict=True))
            rows.append(CheckedRow(self.top.line(row.line.where), values))
        constants = constants_of(rows, self.top.at(TABLE), self.scale, self.offset)
        if empty and first == cell_place(self.table, self._first_amplitude()):
            self.notes.append(Note(NoteKind.NO_NUMBERS, tuple(empty)))
        if constants is None or -1.0 not in signs or len(signs) != len(constants.constituents):
            return constants
        return replace(constants, amplitude=constants.amplitude * np.array(signs))

    def _first_amplitude(self) -> Column:
        return next(item for item in self.table.columns if item.role is Role.AMPLITUDE)

    def _value(self, cell: str) -> object:
        read = number(cell, self.table.commas)
        return cell if read is None else read.value

    def _tell_passed_over(self) -> None:
        lines = [f"{line.where} ('{line.text.strip()[:MAXIMUM_SHOWN]}')" for line in self.table.passed_over]
        if lines:
            self.notes.append(Note(NoteKind.PASSED_OVER, tuple(lines)))
