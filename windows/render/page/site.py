"""What stands around every page that is served: the way to the others, choices, and what was just done."""

from dataclasses import dataclass, field
from functools import cache
from typing import Any
from urllib.parse import quote

from windows.render.chart.catches import catches_rules
from windows.render.chart.drawing import LIGHT
from windows.render.page.document import Frame, digest, frame_of
from windows.render.words import cautions, pages


@dataclass(frozen=True, slots=True)
class Link:
    """A way to another page; `here` where it is the one shown."""

    address: str
    label: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class Option:
    """One of several values of a choice."""

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Choices:
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


@dataclass(frozen=True, slots=True)
class Undo:
    """A form that takes back what was just done."""

    action: str
    ticket: str


@dataclass(frozen=True, slots=True)
class Site:
    """What stands around a page.

    Attributes:
        links: to the other pages.
        choices: of a forecast; None on other pages.
        notices: what was just done.
        undo: of what was just done; None where it can't be or nothing was.
        token: of forms that write.
    """

    links: tuple[Link, ...]
    choices: Choices | None = None
    notices: tuple[str, ...] = ()
    undo: Undo | None = None
    token: str = field(default="", repr=False)


_ROOMS = (
    ("week", pages.WEEK),
    ("now", pages.NOW),
    ("best", pages.BEST),
    ("compare", pages.COMPARE),
    ("plan", pages.PLAN),
    ("shore", pages.SHORE),
    ("log", pages.LOG),
)


def address(name: str, *parts: str) -> str:
    """The address of a page of a file."""
    return "/" + "/".join(quote(part, safe="") for part in ("at", name, *parts))


def links_of(name: str | None, here: str, several: bool) -> tuple[Link, ...]:
    """The ways from a page.

    Args:
        name: of the file; None on pages of no file.
        here: the room one is in.
        several: whether there are other files to go to.
    """
    found = [] if name is None else [Link(address(name, key), label, key == here) for key, label in _ROOMS]
    found.append(Link("/guide", pages.GUIDE, here == "guide"))
    if several or name is None:
        found.append(Link("/files", pages.FILES, here == "files"))
    return tuple(found)


def screen(template: str, site: Site, head: str, **values: Any) -> str:
    """A page of the site.

    Args:
        template: its name below templates/site.
        site: what stands around it.
        head: the title in the browser.
        values: what the template reads.
    """
    frame = site_frame(f"site/{template}")
    return frame.template.render(
        site=site, head=head, css=frame.css, policy=frame.policy, short=cautions.SHORT, **values
    )


def site_frame(template: str) -> Frame:
    """The frame of a page of the site."""
    rules = catches_rules({name: f"var(--{name})" for name in LIGHT}, ".catches ")
    return frame_of(template, None, rules, served=True)


@cache
def site_policy() -> str:
    """One policy for every page of the site: it allows their styles, their one script, and their forms."""
    from windows.render.page.outing import plan_frame

    frames = (
        site_frame("site/told.html"),
        frame_of("page.html", "page.js", served=True),
        frame_of("now.html", None, served=True),
        plan_frame(served=True),
    )
    styles = " ".join(dict.fromkeys(f"'{digest(frame.css)}'" for frame in frames))
    scripts = " ".join(f"'{digest(frame.script)}'" for frame in frames if frame.script)
    return (
        f"default-src 'none'; style-src {styles}; script-src {scripts}; "
        "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    )
