"""Which sessions compare, and their order: sessions that the forecast can't tell apart share a rank."""

from collections.abc import Sequence
from enum import StrEnum, unique
from math import hypot

from windows.conditions.flow import Flow
from windows.forecast.sessions import LEVEL_POINTS, Session

LEVEL_DEVIATIONS = 0.5
"""Nor can those be told apart that differ by less than this share of their joint standard deviation."""


@unique
class RankGroup(StrEnum):
    """What a spot's points compare: a known speed, or its own tide and light alone."""

    SPEED = "speed"
    FALL = "fall"


def group_of(flow: Flow) -> RankGroup:
    """The group in which a spot's sessions rank; spots of different groups do not compare."""
    return RankGroup.SPEED if flow.has_speed else RankGroup.FALL


def level(first: Session, other: Session) -> bool:
    """Whether a session can't be told apart from the first of a rank."""
    apart = first.points.total - other.points.total
    return apart < max(LEVEL_POINTS, LEVEL_DEVIATIONS * hypot(first.deviation, other.deviation))


def level_ranks(sessions: Sequence[Session]) -> list[int]:
    """The rank of each session: its place, shared by all that are level with the rank's first.

    Args:
        sessions: of one group, best first.
    """
    ranks: list[int] = []
    first = 0
    for place, session in enumerate(sessions):
        if not level(sessions[first], session):
            first = place
        ranks.append(first + 1)
    return ranks
