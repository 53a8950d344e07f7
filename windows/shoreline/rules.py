"""Rules to keep fish by, frozen: a person's own data, each with its source and the day it was checked."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple


class Measured(StrEnum):
    """How a fish is measured."""

    FORK = "fork"
    TOTAL = "total"


def species_key(name: str) -> str:
    """What a species is counted under: case and blanks do not matter."""
    return " ".join(name.casefold().split())


class Season(NamedTuple):
    """Days of the year in which fish may be kept, (month, day), both ends among them; may pass New Year."""

    first: tuple[int, int]
    last: tuple[int, int]

    def holds(self, day: date) -> bool:
        """Whether a date lies in it."""
        found = day.month, day.day
        if self.first <= self.last:
            return self.first <= found <= self.last
        return found >= self.first or found <= self.last


class Rule(NamedTuple):
    """One rule for one species.

    Attributes:
        species: its name.
        least_length, greatest_length: metres, both of them legal; None for no limit.
        measured: how these are measured; None where there are none.
        bag: fish a person and day; None for no limit.
        seasons: when it is open; empty for the whole year.
        source: where it stands.
        checked: when the person looked it up; None where not said.
    """

    species: str
    least_length: float | None = None
    greatest_length: float | None = None
    measured: Measured | None = None
    bag: int | None = None
    seasons: tuple[Season, ...] = ()
    source: str = ""
    checked: date | None = None

    def open_on(self, day: date) -> bool:
        """Whether the season is open."""
        return not self.seasons or any(season.holds(day) for season in self.seasons)
