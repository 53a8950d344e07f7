"""Secondary stations made from checked tables and the stations they follow."""

from collections.abc import Sequence

from harmonics.files.file_models import (
    DifferenceTable,
    MinutesByHourTable,
    SecondaryCurrentTable,
    SecondaryTable,
)
from harmonics.files.problems import Here
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
    model: SecondaryTable, reference: Station, unit: LengthUnit, here: Here
) -> SecondaryStation | None:
    """A secondary tide station; offsets and heights are in the table's own unit, or else its reference's."""
    own = LengthUnit(model.length_unit or unit).metres
    high = _difference(model.high_water, own, here.at("high_water"))
    low = _difference(model.low_water, own, here.at("low_water"))
    if high is None or low is None:
        return None
    return SecondaryStation(
        model.id, model.name or model.id, model.latitude, model.longitude, reference, high, low
    )


def swapped(station: SecondaryStation | SecondaryCurrentStation) -> str | None:
    """How a station's differences swap two of its reference's turns or events; None where they fit."""
    if isinstance(station, SecondaryStation):
        return difference_problem(station)
    from harmonics.stations.currents import current_difference_problem

    return current_difference_problem(station)


def _difference(item: DifferenceTable, metres: float, here: Here) -> HeightDifference | None:
    """One turning point's difference; None with problems reported where two pairs are one."""
    by_hour, by_factor, by_offset = item.minutes_by_hour, item.factor_by_height, item.offset_by_height
    hours = factors = offsets = None
    if by_hour is not None:
        hours = _hours(by_hour, here.at("minutes_by_hour"))
    if by_factor is not None:
        factors = _pairs(by_factor.heights, metres, by_factor.factors, 1.0, here.at("factor_by_height"))
    if by_offset is not None:
        offsets = _pairs(by_offset.heights, metres, by_offset.offsets, metres, here.at("offset_by_height"))
    read = ((by_hour, hours), (by_factor, factors), (by_offset, offsets))
    if any(table is not None and made is None for table, made in read):
        return None
    return HeightDifference(item.minutes * MINUTE, item.factor, item.offset * metres, hours, factors, offsets)


def _hours(table: MinutesByHourTable, here: Here) -> HourPairs | None:
    first, second = table.hours
    period = 2 * HALF_DAY if abs(first - second) == HALF_DAY / HOUR else HALF_DAY
    if (second - first) * HOUR % period == 0:
        here.at("hours").say(f"{first:g} and {second:g}", "two hours that differ")
        return None
    seconds = table.minutes[0] * MINUTE, table.minutes[1] * MINUTE
    return HourPairs((first, second), seconds, table.utc_offset * HOUR, period)


def _pairs(
    heights: Sequence[float], metres: float, values: Sequence[float], scale: float, here: Here
) -> HeightPairs | None:
    first, second = heights
    if first == second:
        here.at("heights").say(f"{first:g} twice", "two heights that differ")
        return None
    return HeightPairs((first * metres, second * metres), (values[0] * scale, values[1] * scale))


def follow_current(
    model: SecondaryCurrentTable,
    reference: OwnCurrentStation,
    _: LengthUnit,
    here: Here,
) -> SecondaryCurrentStation | None:
    """A secondary current station; its reference flows along one axis."""
    if not isinstance(reference, CurrentStation):
        found = f"'{reference.id}', a current on two axes"
        here.at("reference").say(found, "a current along one flood axis")
        return None
    return SecondaryCurrentStation(
        model.id,
        model.name or model.id,
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
