"""Secondary stations made from checked tables and the stations they follow."""

from collections.abc import Sequence

from harmonics.errors import Problem
from harmonics.files.file_models import DifferenceTable, SecondaryCurrentTable, SecondaryTable
from harmonics.stations.currents import current_difference_problem
from harmonics.stations.secondary import difference_problem
from harmonics.stations.types import (
    HALF_DAY,
    CurrentDifferences,
    CurrentStation,
    HeightDifference,
    HeightPairs,
    HourPairs,
    OwnCurrentStation,
    SecondaryCurrentStation,
    SecondaryStation,
    Station,
)
from harmonics.units import HOUR, MINUTE, LengthUnit

IN_ORDER = "differences that keep high and low waters, slacks and maxima in order"


def follow_tide(
    model: SecondaryTable, reference: Station, unit: LengthUnit, where: str, problems: list[Problem]
) -> SecondaryStation | None:
    """A secondary tide station; offsets and heights are in the table's own unit, or else its reference's."""
    own = LengthUnit(model.length_unit or unit).metres
    before = len(problems)
    high = _difference(model.high_water, own, f"{where}.high_water", problems)
    low = _difference(model.low_water, own, f"{where}.low_water", problems)
    if len(problems) > before:
        return None
    return SecondaryStation(model.id, model.name, model.latitude, model.longitude, reference, high, low)


def swapped(station: SecondaryStation | SecondaryCurrentStation) -> str | None:
    """How a station's differences swap two of its reference's turns or events; None where they fit."""
    if isinstance(station, SecondaryStation):
        return difference_problem(station)
    return current_difference_problem(station)


def _difference(
    item: DifferenceTable, metres: float, where: str, problems: list[Problem]
) -> HeightDifference:
    by_hour, by_factor, by_offset = item.minutes_by_hour, item.factor_by_height, item.offset_by_height
    hours = None
    if by_hour is not None:
        first, second = by_hour.hours
        period = 2 * HALF_DAY if abs(first - second) == HALF_DAY / HOUR else HALF_DAY
        if (second - first) * HOUR % period == 0:
            problems.append(
                Problem(
                    f"{where}.minutes_by_hour.hours", f"{first:g} and {second:g}", "two hours that differ"
                )
            )
        else:
            seconds = by_hour.minutes[0] * MINUTE, by_hour.minutes[1] * MINUTE
            hours = HourPairs((first, second), seconds, by_hour.utc_offset * HOUR, period)
    factors = offsets = None
    if by_factor is not None:
        place = f"{where}.factor_by_height"
        factors = _pairs(by_factor.heights, metres, by_factor.factors, 1.0, place, problems)
    if by_offset is not None:
        place = f"{where}.offset_by_height"
        offsets = _pairs(by_offset.heights, metres, by_offset.offsets, metres, place, problems)
    return HeightDifference(item.minutes * MINUTE, item.factor, item.offset * metres, hours, factors, offsets)


def _pairs(
    heights: Sequence[float],
    metres: float,
    values: Sequence[float],
    scale: float,
    where: str,
    problems: list[Problem],
) -> HeightPairs | None:
    first, second = heights
    if first == second:
        problems.append(Problem(f"{where}.heights", f"{first:g} twice", "two heights that differ"))
        return None
    return HeightPairs((first * metres, second * metres), (values[0] * scale, values[1] * scale))


def follow_current(
    model: SecondaryCurrentTable,
    reference: OwnCurrentStation,
    _: LengthUnit,
    where: str,
    problems: list[Problem],
) -> SecondaryCurrentStation | None:
    """A secondary current station; its reference flows along one axis."""
    if not isinstance(reference, CurrentStation):
        found = f"'{reference.id}', a current on two axes"
        problems.append(Problem(f"{where}.reference", found, "a current along one flood axis"))
        return None
    return SecondaryCurrentStation(
        model.id,
        model.name,
        model.latitude,
        model.longitude,
        model.flood_direction,
        model.ebb_direction,
        reference,
        CurrentDifferences(
            model.slack_before_flood * MINUTE,
            model.flood * MINUTE,
            model.slack_before_ebb * MINUTE,
            model.ebb * MINUTE,
            model.flood_ratio,
            model.ebb_ratio,
        ),
    )
