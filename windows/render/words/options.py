"""What a reader may choose of the words."""

from enum import StrEnum, unique


@unique
class Why(StrEnum):
    """Which sessions are explained at length."""

    BEST = "best"
    ALL = "all"
    NONE = "none"
