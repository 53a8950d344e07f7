"""The forecast as one self-contained page: it asks for nothing, and its policy forbids it to.

The policy allows this page's own style and script by their hashes and nothing else.
"""

import base64
import hashlib
import json
import re
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from windows.forecast.reports import Forecast
from windows.render.chart.drawing import DARK, GLARE, LIGHT, RED, style
from windows.render.page.opening import Opening
from windows.render.words import cautions
from windows.render.words.foreseen import full_cautions, not_considered
from windows.render.words.live import LIVE
from windows.render.words.phrases import words_of

if TYPE_CHECKING:
    from jinja2 import Template
    from markupsafe import Markup

    from windows.render.page.around import Site


def page(forecast: Forecast, source: str | None = None) -> str:
    """The whole forecast as HTML; it opens with the best session and its spot's days.

    Args:
        forecast: finished.
        source: the file it was made from; the page shows its name without folders.
    """
    return forecast_page(forecast, source, Opening.WEEK, None)


def best_page(forecast: Forecast, source: str | None = None) -> str:
    """The same, opening with the sessions in order of rank."""
    return forecast_page(forecast, source, Opening.BEST, None)


def compare_page(forecast: Forecast, source: str | None = None) -> str:
    """The same, opening with spots by days."""
    return forecast_page(forecast, source, Opening.COMPARE, None)


def forecast_page(forecast: Forecast, source: str | None, opening: Opening, site: "Site | None") -> str:
    """The same, opening as asked.

    Args:
        forecast, source: as for `page`.
        opening: what it opens with.
        site: what stands around it where it is served; None for a page by itself.
    """
    from windows.render.page.data import page_view

    frame, words = frame_of("page.html", "page.js", served=site is not None), words_of(forecast.head)
    view = page_view(forecast, source, opening)
    return frame.template.render(
        site=site,
        view=view,
        head=view.head,
        policy=frame.policy,
        css=frame.css,
        script=frame.script,
        short=cautions.SHORT,
        full=full_cautions(forecast, words),
        unseen=not_considered(forecast, words),
        live=json.dumps(LIVE),
    )


class Frame(NamedTuple):
    """What is the same in every page of a kind: template, style, script, and the policy that allows them."""

    template: "Template"
    css: "Markup"
    script: "Markup"
    policy: str


@cache
def frame_of(template: str, program: str | None, rules: str = "", served: bool = False) -> Frame:
    """The frame of a kind of page.

    Args:
        template: its name.
        program: name of its script; None for a page without one.
        rules: of style, on top of every page's.
        served: whether it is one of the local pages, which have forms and a style of their own as well.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=PackageLoader("windows.render.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["whole"] = _whole
    loader = environment.loader
    if loader is None:
        raise RuntimeError("the page's templates have no loader")
    sheets = ("page.css", "site/site.css") if served else ("page.css",)
    css = _colours() + rules + "".join(_squeezed(loader.get_source(environment, name)[0]) for name in sheets)
    script = "" if program is None else _squeezed(loader.get_source(environment, program)[0])
    scripts = "'none'" if program is None else f"'{digest(script)}'"
    forms = "'self'" if served else "'none'"
    pictures = "img-src 'self'; " if served else ""
    policy = (
        f"default-src 'none'; {pictures}style-src '{digest(css)}'; script-src {scripts}; "
        f"base-uri 'none'; form-action {forms}"
    )
    return Frame(environment.get_template(template), Markup(css), Markup(script), policy)


_STRETCH = re.compile(r"\d\d:\d\d-\d\d:\d\d")


def _whole(text: str) -> "Markup":
    """A text whose stretches of time do not break at their hyphens."""
    from markupsafe import Markup, escape

    return Markup(_STRETCH.sub(r"<i>\g<0></i>", str(escape(text))))


def _colours() -> str:
    """The palette by the reader's setting, glare and night by their switches; the charts' rules on top.

    Paper is always light.
    """
    light, dark, glare, red = (
        "{" + "".join(f"--{name}:{value};" for name, value in colours.items()) + "}"
        for colours in (LIGHT, DARK, GLARE, RED)
    )
    switched = f"@media screen{{:root:has(#glare:checked){glare}:root:has(#red:checked){red}}}"
    rules = style({name: f"var(--{name})" for name in LIGHT})
    return f":root{light}@media screen and (prefers-color-scheme:dark){{:root{dark}}}{switched}{rules}"


def _squeezed(source: str) -> str:
    """Without the indents of its lines, and without lines of comment."""
    lines = (line.strip() for line in source.splitlines())
    return "\n".join(line for line in lines if line and not (line.startswith("/*") and line.endswith("*/")))


def digest(source: str) -> str:
    """What a policy calls an inline block by."""
    found = hashlib.sha256(source.encode()).digest()
    return f"sha256-{base64.b64encode(found).decode()}"
