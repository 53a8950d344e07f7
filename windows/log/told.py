"""A trip as it is typed, before anything of it is understood."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from windows.shoreline.shore import Shore


@dataclass(frozen=True)
class Told:
    """What was typed, by option; None, empty or False where nothing was.

    Attributes:
        spot, start, end, anglers, fished_for: where, when, how many, and how long lines were in the water.
        kept, released: fish, a text a species.
        sought: species that were not caught.
        nothing: no fish at all.
        measured: how all lengths were taken.
        quarry, bait, words, clarity, lead, temperature, wind: as they stand.
        turned_out, turned_in, drift, bared, covered: times at which the water was seen to do so.
        cleared: which of these a kept trip is to say no more.
    """

    spot: str | None = None
    start: str | None = None
    end: str | None = None
    anglers: int | None = None
    fished_for: str | None = None
    kept: tuple[str, ...] = ()
    released: tuple[str, ...] = ()
    sought: tuple[str, ...] = ()
    nothing: bool = False
    measured: str | None = None
    quarry: str | None = None
    bait: str | None = None
    turned_out: tuple[str, ...] = ()
    turned_in: tuple[str, ...] = ()
    drift: tuple[str, ...] = ()
    bared: tuple[str, ...] = ()
    covered: tuple[str, ...] = ()
    lead: str | None = None
    temperature: str | None = None
    wind: str | None = None
    clarity: str | None = None
    words: str | None = None
    cleared: frozenset[str] = frozenset()

    @property
    def says_catch(self) -> bool:
        """Whether the catch is told, be it none."""
        return self.nothing or bool(self.kept or self.released or self.sought)

    def missing(self, shore: "Shore", planned: bool) -> tuple[str, ...]:
        """What a new trip can't do without, of: spot, start, end, catch."""
        needed = {
            "spot": self.spot is None and len(shore.spots) != 1,
            "start": self.start is None,
            "end": self.end is None,
            "catch": not planned and not self.says_catch,
        }
        return tuple(name for name, lacks in needed.items() if lacks)
