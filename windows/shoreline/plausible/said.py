"""What can't be in a file, or is odd, in words: what was found, what was expected, what to write instead."""

from collections.abc import Callable
from typing import Any

from harmonics.errors import Problem, printable
from harmonics.units import HOUR, METRES_PER_SECOND_PER_KNOT, LengthUnit
from windows.shoreline.plausible.findings import Finding, Oddity

Said = tuple[str, str]
"""What was found and what was expected."""
_Say = Callable[..., Said]


def problem_of(finding: Finding, unit: LengthUnit) -> Problem:
    """A finding as a problem of the file."""
    found, expected = _SAID[finding.kind](unit, *finding.about)
    if finding.write:
        expected = f"{expected}; write: {', '.join(finding.write)}"
    return Problem(finding.where, found, expected)


def sentence_of(finding: Finding, unit: LengthUnit) -> str:
    """A finding as one line under "Worth a look"."""
    return printable(str(problem_of(finding, unit)))


def _other_clock(unit: LengthUnit, there: str, clock: str, place: str) -> Said:
    return (
        f"{place} at a position where people read {there}",
        f"one where they read {clock}, the file's time_zone (west and south are negative); a place of "
        "another clock goes into a file of its own",
    )


def _far(what: str) -> _Say:
    def say(unit: LengthUnit, kilometres: float, place: str) -> Said:
        nearer = "where there is none, one by differences from this one, with a position nearby"
        found, expected = f"a position {kilometres:,.0f} km from {place}", f"a {what} whose water it has"
        return found, f"{expected}, within 60 km; {nearer}"

    return say


def _mean_level(unit: LengthUnit, given: float, expected: float, datum: str) -> Said:
    return (
        f"mean sea level {_height(unit, given, 2)} above {datum}",
        f"about {_height(unit, expected, 2)}, as these constituents and that datum go together; if it is so, "
        'a datum of another name, such as "gauge zero"',
    )


def _unit(unit: LengthUnit, said: str, written: str, table: str, number: float) -> Said:
    return f"{written}, while {table} line {number:.0f} says {said}", f"{said}, or that line corrected"


def _phase(unit: LengthUnit, said: str, written: str, table: str, number: float) -> Said:
    return (
        f"{written} phase lags, while {table} line {number:.0f} says {said}",
        f"{said} ones, or that line corrected",
    )


def _reached(what: str, expected: str) -> _Say:
    def say(unit: LengthUnit, value: float, lowest: float, highest: float) -> Said:
        span = f"{_height(unit, lowest, 2)} to {_height(unit, highest, 2)}"
        return f"{_height(unit, value, 2)}, {what}", f"{expected} {span}, where a year's tide goes"

    return say


def _height(unit: LengthUnit, metres: float, digits: int) -> str:
    value = round(metres / unit.metres, digits) + 0.0
    return f"{value:.{digits}f} {'ft' if unit is LengthUnit.FEET else 'm'}"


def _knots(speed: float) -> str:
    return f"{speed / METRES_PER_SECOND_PER_KNOT:.2f} kn"


def _hours(seconds: float) -> str:
    return f"{seconds / HOUR:.1f} h"


def _areas(unit: LengthUnit, basin: float, opening: float) -> Said:
    return f"a basin of {basin:g} m2 behind an opening of {opening:g} m2", "a basin larger than its opening"


_SAID: dict[Oddity, Callable[..., Any]] = {
    Oddity.OTHER_CLOCK: _other_clock,
    Oddity.FIXED_CLOCK: lambda unit, clock, there: (
        f"{clock}, which no place keeps",
        f"the clock people read there, {there}",
    ),
    Oddity.FAR_FROM_STATION: _far("station"),
    Oddity.FAR_FROM_CURRENT: _far("current"),
    Oddity.WHOLE_DEGREES: lambda unit: (
        "a position in whole degrees",
        "decimals: a whole degree can be 100 km off",
    ),
    Oddity.SAME_POSITION: lambda unit, other: (
        f"the position of spot {other} again",
        "one of its own, if the two are apart",
    ),
    Oddity.AT_STATION: lambda unit, station: (
        f"no position, so that of station {station}",
        "its own, for sun and moon and the way there",
    ),
    Oddity.NO_DATUM: lambda unit: (
        "no datum, so heights are counted from mean sea level",
        "that of the printed table, with the mean sea level above it",
    ),
    Oddity.LOG_NAME: lambda unit, name: (
        f"'{name}', the name of a table",
        "that of a database: rename a log that is there as well (ebblight log export writes a table)",
    ),
    Oddity.NO_SPOTS: lambda unit: ("no [[spots]]", "one to fish at: without one there are no windows"),
    Oddity.NO_STATIONS: lambda unit: ("no [[stations]]", "one whose water is predicted"),
    Oddity.TOO_LARGE: lambda unit, total: (
        f"amplitudes that add up to {_height(unit, total, 1)}",
        "at most 13 m (43 ft), as on the coasts with the greatest tides",
    ),
    Oddity.TOO_SMALL: lambda unit, total: (
        f"amplitudes that add up to {_height(unit, total, 3)}",
        "a tide; perhaps they are in another unit",
    ),
    Oddity.FEW_CONSTITUENTS: lambda unit, names: (
        f"{names} alone",
        "M2, S2, K1 and O1 at least; with fewer, heights and times are rough",
    ),
    Oddity.MEAN_LEVEL: _mean_level,
    Oddity.TABLE_UNIT: _unit,
    Oddity.TABLE_PHASE: _phase,
    Oddity.OFFSET_SIGN: lambda unit, offset, clock, zone: (
        f"{offset:+g} h from UTC",
        f"{clock:+g}, the standard time of {zone} (west is negative)",
    ),
    Oddity.LAGS_SHIFTED: lambda unit, shift, other: (
        f"a tide {abs(shift):.1f} h {'after' if shift > 0 else 'before'} that of {other} nearby, in all "
        "constituents alike",
        "Greenwich phase lags, or local ones said to be local",
    ),
    Oddity.AMPLITUDES_SCALED: lambda unit, scale, other: (
        f"amplitudes {scale:.2f} times those of {other} nearby, in all constituents alike",
        "the same tide; perhaps one of the two is in feet",
    ),
    Oddity.FOLLOWER: lambda unit, factor, other: (
        f"a range {factor:.2f} times that of {other}",
        "a factor from 0.2 to 3: such differences are to be trusted little beyond",
    ),
    Oddity.LEVEL_NOT_REACHED: _reached("which the tide never reaches", "a level from"),
    Oddity.LEVEL_ALWAYS_PASSED: _reached("which the tide never falls below", "a level from"),
    Oddity.NEVER_DEEP: _reached("a depth that the water never has", "a depth from"),
    Oddity.ALWAYS_DEEPER: _reached("a depth that the water always exceeds", "a depth from"),
    Oddity.ALWAYS_DRY: lambda unit, depth, highest: (
        f"{_height(unit, depth, 2)}, so dry at the year's highest water ({_height(unit, highest, 2)})",
        "what lies under water when the tide is at the datum; negative only where it bares",
    ),
    Oddity.DEEP: lambda unit, depth: (
        f"{_height(unit, depth, 0)} of water at the datum",
        "a depth to fish on the bottom; perhaps it is in another unit",
    ),
    Oddity.NEVER_BARES: _reached("so the bank never bares", "a level from"),
    Oddity.ALWAYS_BARE: _reached("so the bank is always bare", "a level from"),
    Oddity.SAME_DIRECTIONS: lambda unit, flood, ebb: (
        f"an ebb that sets to {ebb:.0f} deg and a flood to {flood:.0f} deg",
        "directions nearly opposite; where it only ever sets one way, a mean_flow stronger than the tide",
    ),
    Oddity.CURRENT_TOO_STRONG: lambda unit, total: (
        f"amplitudes that add up to {_knots(total)}",
        "at most 10 kn on most coasts; perhaps they are in cm/s",
    ),
    Oddity.NEVER_TURNS: lambda unit, mean, total: (
        f"a mean flow of {_knots(mean)} with a tide of at most {_knots(total)}",
        "less, else the water never turns",
    ),
    Oddity.STRONG_EBB: lambda unit, speed: (
        _knots(speed),
        "less than 8 kn on most coasts, a strong ebb of an ordinary day",
    ),
    Oddity.AREAS_SWAPPED: _areas,
    Oddity.LONG_LAG: lambda unit, seconds: (
        _hours(seconds),
        "fewer hours: beyond that the next turn is nearer (the key is in minutes)",
    ),
    Oddity.NEVER_FAST_ENOUGH: lambda unit, most, least: (
        f"speeds that count from {_knots(least)}, while the current reaches {_knots(most)}",
        "a start below what the current reaches",
    ),
    Oddity.SPEED_GATES: lambda unit, limit, counts: (
        f"{_knots(limit)}, while speeds count only on the other side of {_knots(counts)}",
        "a limit that leaves some speed",
    ),
    Oddity.LONG_WAY: lambda unit, seconds: (_hours(seconds), "minutes of the way there, not of the day"),
}
