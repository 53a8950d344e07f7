"""What a page's address asks of a forecast, read like the command's options."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from windows.app.wishes import Wishes, landings_of, read_wishes, typed_of, words_of_wishes
from windows.render.page.around import Choices, Link
from windows.render.page.forms import Option
from windows.render.page.site import address
from windows.render.words import pages
from windows.render.words.doubts import doubts
from windows.render.words.phrases import words_of
from windows.render.words.safe_text import plain
from windows.shoreline.hours import Hours, parse_hours
from windows.shoreline.spot_models import HOURS_EXPECTED

if TYPE_CHECKING:
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot

MOST_DAYS = 31
"""Of a page: a month is the most that one looks over; the command takes more."""
MOST_DIGITS = 6
"""Of a number that is read at all."""
ALL, PLAN = "all", "plan"


class Asked(NamedTuple):
    """What a forecast is asked for; it is the same where all of it is.

    Attributes:
        room: week, best, compare or plan.
        spot: id of the only one; None for all.
        fish: name of the fish one is after; None for the file's own.
        first: the first local day.
        days: how many.
        hours: as written; None for the file's own.
        problems: what could not be read, and so was passed over.
        wishes: of a day out, where it is a plan.
    """

    room: str
    spot: str | None
    fish: str | None
    first: date
    days: int
    hours: str | None
    problems: tuple[str, ...] = ()
    wishes: Wishes = Wishes()

    @property
    def fishing_hours(self) -> Hours | None:
        """The hours, read."""
        return None if self.hours is None else parse_hours(self.hours)


class Room(NamedTuple):
    """A kind of forecast: days where none are asked for, and whether it is of all spots by default."""

    days: int
    all_spots: bool


ROOMS: Mapping[str, Room] = {
    "week": Room(7, all_spots=False),
    "best": Room(14, all_spots=True),
    "compare": Room(7, all_spots=True),
    PLAN: Room(14, all_spots=True),
}


def read_asked(room: str, query: Mapping[str, str], shore: "Shore", now: float) -> Asked:
    """What the query asks; a value that can't be read is told and passed over."""
    problems: list[str] = []
    today = datetime.fromtimestamp(now, shore.head.zone).date()
    kind = ROOMS[room]
    spots = {spot.id for spot in shore.spots}
    spot = query.get("spot") or (ALL if kind.all_spots or len(spots) == 1 else shore.spots[0].id)
    if spot != ALL and spot not in spots:
        problems.append(pages.no_such_spot(spot))
        spot = ALL
    fish = query.get("fish") or None
    if fish is not None and all(item.name != fish for item in shore.quarry):
        problems.append(pages.no_such_fish(fish))
        fish = None
    first = _day(query.get("start", ""), today, problems)
    days = _count(query.get("days", ""), kind.days, problems)
    hours = (query.get("hours", "").strip() or None) if room != PLAN else None
    if hours is not None:
        try:
            parse_hours(hours)
        except ValueError as error:
            problems.append(pages.unreadable("hours", hours, str(error)))
            hours = None
    wishes = read_wishes(query, shore, problems) if room == PLAN else Wishes()
    return Asked(room, None if spot == ALL else spot, fish, first, days, hours, tuple(problems), wishes)


def _day(text: str, today: date, problems: list[str]) -> date:
    if not text.strip():
        return today
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        problems.append(pages.unreadable("first day", text, pages.DATE_EXPECTED))
        return today


def _count(text: str, default: int, problems: list[str]) -> int:
    typed = text.strip()
    if not typed:
        return default
    few = typed.isascii() and typed.isdigit() and len(typed) <= MOST_DIGITS
    if few and 1 <= int(typed) <= MOST_DAYS:
        return int(typed)
    problems.append(pages.unreadable("days", text, pages.whole_number(MOST_DAYS)))
    return default


def spots_of(shore: "Shore", asked: Asked) -> "tuple[Spot, ...]":
    """The spots asked for, fished as asked."""
    chosen = shore.spots if asked.spot is None else (shore.spot(asked.spot),)
    spots = shore.sought(chosen, asked.fish)
    hours = asked.fishing_hours
    return spots if hours is None else tuple(item.fished_in(hours) for item in spots)


def choices_of(name: str, shore: "Shore", asked: Asked, keep: tuple[Link, ...] = ()) -> Choices:
    """What can be asked for instead, with what is asked for chosen."""
    words = words_of(shore.head)
    spot = "" if asked.spot is None else plain(shore.spot(asked.spot).name)
    day = f"{words.day(asked.first)} {asked.first.year}"
    several = len(shore.spots) > 1
    return Choices(
        summary=pages.chosen(
            (
                *(spot if several else "", day, pages.days_words(asked.days)),
                *words_of_wishes(shore, asked.wishes),
                *(asked.hours or "", asked.fish or ""),
            )
        ),
        action=address(name, asked.room),
        spots=tuple(Option(item.id, plain(item.name)) for item in shore.spots) if several else (),
        fish=tuple(Option(item.name, plain(item.name)) for item in shore.quarry),
        spot=asked.spot or ALL,
        fish_name=asked.fish or "",
        start=asked.first.isoformat(),
        days=str(asked.days),
        hours=asked.hours or "",
        most_days=MOST_DAYS,
        hours_expected=HOURS_EXPECTED,
        keep=keep,
        problems=(*asked.problems, *doubts(shore)),
        takes_hours=asked.room != PLAN,
        landings=landings_of(shore) if asked.room == PLAN else (),
        landing=asked.wishes.landing or "",
        wishes=typed_of(asked.wishes) if asked.room == PLAN else (),
    )
