"""What stands around every page that is served: the way to the others, choices, and what was just done."""

from dataclasses import dataclass, field
from typing import NamedTuple

from harmonics.errors import printable
from windows.render.page.forms import Option


class Link(NamedTuple):
    """A way to another page; `here` where it is the one shown."""

    address: str
    label: str
    here: bool = False


class Typed(NamedTuple):
    """A field to type in, with what it may hold."""

    name: str
    label: str
    hint: str
    value: str


class Choices(NamedTuple):
    """What a forecast can be asked for.

    Attributes:
        summary: what it is asked for now, in one line.
        action: the address that answers.
        spots, fish: to choose from; empty where there is no choice.
        spot, fish_name, start, days, hours: as asked; empty where not.
        most_days: that may be asked for.
        hours_expected: what hours may be.
        keep: the same result as files to keep.
        problems: what was asked in a way that can't be read.
        takes_hours: whether other hours than the file's may be asked for.
        landings: to start a day out from; empty where there is no choice.
        landing: the one asked for; empty where none is.
        wishes: what else may be asked of a day out.
    """

    summary: str
    action: str
    spots: tuple[Option, ...]
    fish: tuple[Option, ...]
    spot: str
    fish_name: str
    start: str
    days: str
    hours: str
    most_days: int
    hours_expected: str
    keep: tuple[Link, ...] = ()
    problems: tuple[str, ...] = ()
    takes_hours: bool = True
    landings: tuple[Option, ...] = ()
    landing: str = ""
    wishes: tuple[Typed, ...] = ()


class ReadingForm(NamedTuple):
    """A level that was read off at the water, asked for.

    Attributes:
        action: the address that answers.
        level: as typed.
        unit: of the file.
        problems: what is wrong with it.
    """

    action: str
    level: str
    unit: str
    problems: tuple[str, ...]

    @property
    def said(self) -> str:
        """The level where it stands in a text: what turns or hides others is shown by its code."""
        return printable(self.level)


class Undo(NamedTuple):
    """A form that takes back what was just done."""

    action: str
    ticket: str


@dataclass(frozen=True, slots=True)
class Site:
    """What stands around a page.

    Attributes:
        links: to the other pages.
        choices: of a forecast; None on other pages.
        reading: form for a level read off; None on other pages than that of now.
        notices: what was just done.
        undo: of what was just done; None where it can't be or nothing was.
        token: of forms that write.
    """

    links: tuple[Link, ...]
    choices: Choices | None = None
    reading: ReadingForm | None = None
    notices: tuple[str, ...] = ()
    undo: Undo | None = None
    token: str = field(default="", repr=False)
