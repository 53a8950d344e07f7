"""Published constants of currents: along one axis, on two, or as ellipses, turned into the axes of a file."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from harmonics.arrays import Array, ComplexArray
from harmonics.catalogue.constituents import Constituent
from harmonics.files.problems import Here
from harmonics.files.published.choices import cell_place
from harmonics.files.published.columns import Axis, Column, Role
from harmonics.files.published.numbers import number
from harmonics.files.published.results import Note, NoteKind
from harmonics.files.published.rows import PublishedRows
from harmonics.files.published.statements import Fact, Said
from harmonics.files.published.units import TableUnit
from harmonics.sums.waves import HarmonicConstants

SAME_DIRECTION = 0.05
"""Degrees: an azimuth printed in every row is the station's where it does not change."""
EAST, NORTH = 90.0, 0.0
Constants = Callable[[Axis, Axis], HarmonicConstants | None]
"""Constants from the amplitudes of one axis and the lags of another."""


@dataclass(frozen=True, eq=False)
class CurrentAxes:
    """A current's constants on the axes of a station file, m/s; as in `ImportedCurrent`.

    `geographic` axes are east and north, whatever way the flood sets.
    """

    along: HarmonicConstants
    across: HarmonicConstants | None = None
    axis_direction: float | None = None
    across_direction: float | None = None
    geographic: bool = False


@dataclass(frozen=True)
class CurrentHead:
    """What is known of a current beside its rows, options before the table's own words.

    Attributes:
        flood, ebb, across: degrees true; None where neither says it.
        mean_along, mean_across: m/s.
    """

    flood: float | None
    ebb: float | None
    across: float | None
    mean_along: float
    mean_across: float


def is_current(table: PublishedRows, said: Sequence[Said], asked: TableUnit | None) -> bool:
    """Whether a table is of currents: by its axes, or by the unit of its amplitudes."""
    amplitudes = [item for item in table.columns if item.role is Role.AMPLITUDE]
    units = [unit for item in amplitudes for unit in item.units]
    if any(item.axis is not Axis.NONE for item in amplitudes) or (asked is not None and asked.of_currents):
        return True
    if not units:
        units = [item.value for item in said if isinstance(item.value, TableUnit)]
    return bool(units) and all(unit.of_currents for unit in units)


def axes_of(
    table: PublishedRows, constants: Constants, head: CurrentHead, top: Here, notes: list[Note]
) -> CurrentAxes | None:
    """The constants on the axes that a file can hold, or None with the problems reported."""
    amplitudes = {item.axis for item in table.columns if item.role is Role.AMPLITUDE}
    phases = {item.axis for item in table.columns if item.role is Role.PHASE}
    if {Axis.EAST, Axis.NORTH} <= amplitudes & phases:
        east, north = constants(Axis.EAST, Axis.EAST), constants(Axis.NORTH, Axis.NORTH)
        return (
            None if east is None or north is None else CurrentAxes(east, north, EAST, NORTH, geographic=True)
        )
    if {Axis.MAJOR, Axis.MINOR} <= amplitudes:
        if {Axis.MAJOR, Axis.MINOR} <= phases:
            return _two_axes(table, constants, head, top, notes)
        if len(phases) == 1:
            return _ellipses(table, constants, next(iter(phases)), top, notes)
    axis = Axis.MAJOR if Axis.MAJOR in amplitudes else Axis.NONE
    lags = axis if axis in phases else Axis.NONE
    if axis not in amplitudes or lags not in phases:
        titles = ", ".join(item.title for item in table.columns)[:120]
        expected = "amplitude and lag along an axis, on two axes, or of an ellipse"
        top.line(table.header[-1].where).say(f"the columns {titles}", expected)
        return None
    along = constants(axis, lags)
    direction = _common(table, top, Axis.NONE, Axis.MAJOR)
    return None if along is None else CurrentAxes(along, axis_direction=_first(direction, head.flood))


def _two_axes(
    table: PublishedRows, constants: Constants, head: CurrentHead, top: Here, notes: list[Note]
) -> CurrentAxes | None:
    """Major and minor axis, each with its own lags; the minor axis only where its positive side is known."""
    direction = _first(_common(table, top, Axis.NONE, Axis.MAJOR), head.flood)
    across = _first(head.across, _common(table, top, Axis.MINOR))
    along = constants(Axis.MAJOR, Axis.MAJOR)
    if across is None or direction is None:
        notes.append(Note(NoteKind.ONE_AXIS))
        return None if along is None else CurrentAxes(along, axis_direction=direction)
    minor = constants(Axis.MINOR, Axis.MINOR)
    return None if along is None or minor is None else CurrentAxes(along, _positive(minor), direction, across)


def _positive(constants: HarmonicConstants) -> HarmonicConstants:
    """The same tide: an amplitude below nothing is one above it half a turn later."""
    lag = np.where(constants.amplitude < 0, (constants.phase_lag + 180.0) % 360.0, constants.phase_lag)
    return replace(constants, amplitude=np.abs(constants.amplitude), phase_lag=lag)


def _ellipses(
    table: PublishedRows, constants: Constants, lags: Axis, top: Here, notes: list[Note]
) -> CurrentAxes | None:
    """Ellipses of one direction each, as east and north components.

    A positive minor axis turns anticlockwise (common practice, as in Foreman's manual).
    """
    columns = [item for item in table.columns if item.role is Role.AZIMUTH]
    where = table.header[-1].where
    if len(columns) != 1:
        top.line(where).say(f"{len(columns)} columns of directions", "that of the major axis")
        return None
    title = columns[0].title.lower()
    from_east = any(word in title for word in ("east", "ccw", "counter", "anticlock", "math"))
    true = any(word in title for word in ("azimuth", "true", "bearing", "north"))
    if from_east is true:
        found = f"'{columns[0].title}', degrees true or degrees anticlockwise from east"
        top.line(where).say(found, "a title that says which, such as 'azimuth (deg true)'")
        return None
    values = _values(table, columns[0], top)
    major, minor = constants(Axis.MAJOR, lags), constants(Axis.MINOR, lags)
    if major is None or minor is None or values is None:
        return None
    if major.constituents != minor.constituents or len(values) != len(major.constituents):
        top.line(where).say("ellipses of which numbers are missing", "both axes in every row")
        return None
    angles = np.array(values) if from_east else 90.0 - np.array(values)
    notes.append(Note(NoteKind.ROTATION))
    east, north = components(major.amplitude, minor.amplitude, angles, major.phase_lag)
    return CurrentAxes(
        _constants(major.constituents, east),
        _constants(major.constituents, north),
        EAST,
        NORTH,
        geographic=True,
    )


def components(
    semi_major: Array, semi_minor: Array, from_east: Array, lag: Array
) -> tuple[ComplexArray, ComplexArray]:
    """East and north phasors H exp(-i G) of ellipses: each of shape (C,).

    Args:
        semi_major, semi_minor: speeds; the minor one positive where the vector turns anticlockwise.
        from_east: degrees anticlockwise from east to the major axis.
        lag: Greenwich lag in degrees of the greatest speed towards that direction.
    """
    anticlockwise = (semi_major + semi_minor) / 2.0 * np.exp(1j * np.radians(from_east - lag))
    clockwise = (semi_major - semi_minor) / 2.0 * np.exp(1j * np.radians(from_east + lag))
    east = anticlockwise + np.conj(clockwise)
    north = (anticlockwise - np.conj(clockwise)) / 1j
    return np.asarray(east, dtype=complex), np.asarray(north, dtype=complex)


def _constants(rows: tuple[Constituent, ...], phasors: ComplexArray) -> HarmonicConstants:
    return HarmonicConstants(rows, np.abs(phasors), np.mod(-np.degrees(np.angle(phasors)), 360.0))


def _common(table: PublishedRows, top: Here, *axes: Axis) -> float | None:
    """The direction that every row prints; None where no column does."""
    columns = [item for item in table.columns if item.role is Role.AZIMUTH and item.axis in axes]
    if len(columns) != 1:
        return None
    values = _values(table, columns[0], top)
    if not values:
        return None
    if max(values) - min(values) > SAME_DIRECTION:
        found = f"'{columns[0].title}' from {min(values):g} to {max(values):g}"
        top.line(table.header[-1].where).say(found, "one direction for an axis with its own lags")
        return None
    return values[0] % 360.0


def _values(table: PublishedRows, column: Column, top: Here) -> list[float] | None:
    read = [number(row.cells[cell_place(table, column)], table.commas) for row in table.rows]
    for row, item in zip(table.rows, read, strict=True):
        if item is None or not -360.0 <= item.value <= 360.0:
            top.line(f"{row.line.where} {column.role.value}").say("no direction", "degrees")
            return None
    return [item.value for item in read if item is not None]


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)


def head_of(
    table: PublishedRows,
    said: Sequence[Said],
    unit: TableUnit,
    asked: dict[Fact, float | None],
    top: Here,
) -> CurrentHead:
    """Directions and mean flow, from options, from the lines around the table or from its columns."""

    def degrees(fact: Fact) -> float | None:
        values = list(dict.fromkeys(float(str(item.value)) for item in said if item.fact is fact))
        if asked.get(fact) is None and len(values) > 1:
            lines = ", ".join(
                f"{item.value} ({item.line.where})" for item in said if item.fact is fact and item.line
            )
            top.line(fact.value).say(lines, "one of them")
        return _first(asked.get(fact), *values)

    means = [item for item in said if item.fact is Fact.MEAN_FLOW]
    if (given := asked.get(Fact.MEAN_FLOW)) is not None:
        along = given * TableUnit.KNOTS.si
    elif means:
        along = float(str(means[0].value)) * (means[0].unit or unit).si
    else:
        along = _mean(table, Axis.MAJOR, unit) or _mean(table, Axis.NONE, unit)
    across = _mean(table, Axis.MINOR, unit)
    return CurrentHead(degrees(Fact.FLOOD), degrees(Fact.EBB), degrees(Fact.ACROSS), along, across)


def _mean(table: PublishedRows, axis: Axis, unit: TableUnit) -> float:
    """The mean flow that a column prints in every row, m/s."""
    for column in table.columns:
        if column.role is Role.MEAN and column.axis is axis:
            read = [number(row.cells[cell_place(table, column)], table.commas) for row in table.rows]
            values = {item.value for item in read if item is not None}
            if len(values) == 1:
                return values.pop() * (column.units[0] if len(column.units) == 1 else unit).si
    return 0.0
