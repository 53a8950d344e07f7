"""A station file as the page of its shoreline shows it."""

from dataclasses import dataclass
from datetime import UTC, datetime

from windows.app.folder import Opened
from windows.app.named_files import links_of
from windows.app.table_forms import name_of
from windows.forecast.days_waters import waters_of_today
from windows.render.page.around import Link
from windows.render.page.site import address
from windows.render.text.checked import waters_lines
from windows.render.words import file_forms as words
from windows.render.words.phrases import words_of
from windows.render.words.safe_text import plain
from windows.shoreline.ids import tables_of
from windows.shoreline.plausible import look
from windows.shoreline.plausible.said import sentence_of


@dataclass(frozen=True, slots=True)
class ListView:
    """Tables of a list, and the way to a new one."""

    heading: str
    tables: tuple[Link, ...]
    add: Link


@dataclass(frozen=True, slots=True)
class ShoreView:
    """The whole page.

    Attributes:
        title: of the shore.
        lists: of places, fish and rules.
        singles: what stands once.
        files: of readings that it names, or may.
        problems: all that is wrong; then nothing else can be told.
        odd: what is worth a look, but for what stands among the problems.
        waters: today's high and low waters, to hold beside a printed table.
    """

    title: str
    lists: tuple[ListView, ...]
    singles: tuple[Link, ...]
    files: tuple[Link, ...]
    problems: tuple[str, ...]
    odd: tuple[str, ...]
    waters: tuple[str, ...]


def shore_view(opened: Opened, now: float) -> ShoreView:
    """What a file says, as far as it can be read."""
    document = opened.document
    lists = []
    for kind, heading in words.LISTS.items():
        tables = tuple(
            Link(address(opened.name, "shore", kind, str(place)), name_of(document, kind, table) or kind)
            for place, table in enumerate(tables_of(document, kind))
        )
        add = Link(address(opened.name, "shore", kind, "new"), words.add(kind))
        lists.append(ListView(heading, tables, add))
    singles = tuple(Link(address(opened.name, "shore", key), label) for key, label in words.SINGLES.items())
    title = plain(str(document.get("title") or opened.name))
    doubted = opened.shore.doubts if opened.shore is not None else ()
    problems = tuple(str(problem) for problem in (*opened.problems, *doubted))
    odd: tuple[str, ...] = ()
    waters: tuple[str, ...] = ()
    if opened.shore is not None:
        read = words_of(opened.shore.head)
        year = datetime.fromtimestamp(now, UTC).year
        known = {problem.where for problem in doubted}
        found = look(opened.shore, document, year)
        told = (item for item in found if not (item.impossible and item.where in known))
        odd = tuple(sentence_of(item, read.units) for item in told)
        waters = tuple(waters_lines(waters_of_today(opened.shore, now), read))
    files = links_of(opened) if document else ()
    return ShoreView(title, tuple(lists), singles if document else (), files, problems, odd, waters)
