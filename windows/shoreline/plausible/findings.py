"""What in a file can't be, or is odd: kinds, places and numbers. Words are made where they are shown."""

from enum import StrEnum, unique
from typing import NamedTuple


@unique
class Oddity(StrEnum):
    """Kinds of what strikes one in a file."""

    OTHER_CLOCK = "a place where people read another clock"
    FIXED_CLOCK = "a clock that no place keeps"
    FAR_FROM_STATION = "a spot far from its station"
    FAR_FROM_CURRENT = "a spot far from its current"
    WHOLE_DEGREES = "a position in whole degrees"
    SAME_POSITION = "two spots at one position"
    AT_STATION = "a spot without a position"
    NO_DATUM = "a station without a datum"
    NO_SPOTS = "no spots"
    NO_STATIONS = "no stations"
    TOO_LARGE = "amplitudes that no tide has"
    TOO_SMALL = "amplitudes of next to nothing"
    FEW_CONSTITUENTS = "few constituents"
    MEAN_LEVEL = "a mean level that contradicts the datum"
    TABLE_UNIT = "a table in another unit"
    TABLE_PHASE = "a table of another kind of phase lag"
    OFFSET_SIGN = "an offset against the clock"
    LAGS_SHIFTED = "phase lags an offset away from a neighbour's"
    AMPLITUDES_SCALED = "amplitudes a unit away from a neighbour's"
    FOLLOWER = "differences that change the tide much"
    LEVEL_NOT_REACHED = "a level that the tide never reaches"
    LEVEL_ALWAYS_PASSED = "a level that the tide never falls below"
    NEVER_DEEP = "a depth that the water never has"
    ALWAYS_DEEPER = "a depth that the water always exceeds"
    ALWAYS_DRY = "a spot that is always dry"
    DEEP = "a depth for no fishing from the shore"
    NEVER_BARES = "a bank that never bares"
    ALWAYS_BARE = "a bank that is always bare"
    SAME_DIRECTIONS = "flood and ebb that set the same way"
    CURRENT_TOO_STRONG = "speeds that no current has"
    NEVER_TURNS = "a mean flow stronger than the tide"
    STRONG_EBB = "an ebb that few places have"
    AREAS_SWAPPED = "a basin smaller than its opening"
    LONG_LAG = "a turn hours after the tide's"
    NEVER_FAST_ENOUGH = "speeds that the current never has"
    SPEED_GATES = "limits between which no speed counts"
    LONG_WAY = "a long way"
    LOG_NAME = "a log called as a table"


class Finding(NamedTuple):
    """One thing that can't be, or that is odd.

    Attributes:
        kind: what.
        where: key path, as stations[0].longitude.
        about: what there is to say of it, in SI units and degrees; each kind has its own.
        write: lines to write instead, as in the file, or commands to type.
        impossible: whether it can't be so.
    """

    kind: Oddity
    where: str
    about: tuple[float | str, ...] = ()
    write: tuple[str, ...] = ()
    impossible: bool = False


def line(key: str, value: float | str, digits: int = 2) -> str:
    """A line of the file."""
    if isinstance(value, str):
        return f'{key} = "{value}"'
    return f"{key} = {round(value, digits) + 0.0:g}"
