"""What a page of a forecast opens with."""

from enum import Enum, unique


@unique
class Opening(Enum):
    """The first thing below the best session's head."""

    WEEK = "the days of its spot"
    BEST = "the sessions in order"
    COMPARE = "spots by days"
