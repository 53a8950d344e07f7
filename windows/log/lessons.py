"""What trips teach about a spot's settings: values of the file, in the file's own units, with intervals."""

from dataclasses import dataclass
from enum import Enum

from windows.log.robust import LEAST_NOTES, Estimate


class Setting(Enum):
    """A setting that trips can teach: the list of the file it stands in, and the keys that lead to it."""

    SLACK_LAG = ("spots", ("slack_lag",))
    DELAY = ("spots", ("flow", "delay"))
    STRONG_EBB = ("spots", ("flow", "strong_ebb"))
    FACTOR = ("spots", ("flow", "factor"))
    SPEEDS = ("spots", ("speeds",))
    BARE_BELOW = ("banks", ("bare_below",))
    POINTS = ("fishing", ("points",))

    def __init__(self, table: str, keys: tuple[str, ...]) -> None:
        self.table = table
        self.keys = keys


class Standing(Enum):
    """What a lesson amounts to."""

    FEW = "too few notes"
    AGREES = "the file agrees"
    CHANGE = "the file should change"
    UNTRIED = "the extra `log` is not installed"


Value = float | dict[str, float]


@dataclass(frozen=True, slots=True)
class Part:
    """One number of a lesson: its key (none where the setting is the number), the file's, the estimate."""

    key: str
    present: float | None
    estimate: Estimate
    proposed: float


@dataclass(frozen=True)
class Lesson:
    """One setting and what the trips say of it.

    Attributes:
        setting: which.
        owner: id of the spot or bank; empty for the table of all spots.
        name: of it, as people read it.
        standing: what follows.
        notes: how many notes there are.
        needed: how many it takes.
        parts: its numbers; empty where the notes are too few.
        value: what to write into the file; None where nothing should change.
        aside: notes that could not be used.
    """

    setting: Setting
    owner: str
    name: str
    standing: Standing
    notes: int
    needed: int = LEAST_NOTES
    parts: tuple[Part, ...] = ()
    value: Value | None = None
    aside: int = 0
