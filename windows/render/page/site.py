"""Pages of the site itself, the ways between them, and the policy that all of its pages share."""

from functools import cache
from typing import Any
from urllib.parse import quote

from windows.render.chart.catches import catches_rules
from windows.render.chart.drawing import LIGHT
from windows.render.page.around import Link, Site
from windows.render.page.document import Frame, digest, frame_of
from windows.render.words import cautions, pages

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
        f"default-src 'none'; img-src 'self'; style-src {styles}; script-src {scripts}; "
        "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    )
