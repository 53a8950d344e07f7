"""The way the water goes that a spot fishes, in words."""

from typing import NamedTuple

from windows.shoreline.spots import WantedWater


class Going(NamedTuple):
    """Words of one way.

    Attributes:
        goes, going, go: verbs: "the water goes out", "water going out", "stops going" takes `going`.
        runs: before a speed; `changes` before a change of level.
        span: of the level between two turns.
    """

    goes: str
    going: str
    go: str
    runs: str
    changes: str
    span: str


_GOING = {
    WantedWater.OUTGOING: Going("goes out", "going out", "go out", "runs out at", "falls", "fall"),
    WantedWater.INCOMING: Going("comes in", "coming in", "come in", "runs in at", "rises", "rise"),
    WantedWater.MOVING: Going("moves", "moving", "move", "runs at", "rises or falls", "change"),
}


def going_of(water: WantedWater) -> Going:
    """Words of the way that is wanted."""
    return _GOING[water]


def flow_side(out: bool) -> str:
    """The two ways of the water in a word, for a chart."""
    return "out" if out else "in"
