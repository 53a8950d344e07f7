"""A page of the manual as HTML."""

from collections.abc import Sequence

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup


def html_of(text: str, topics: Sequence[str]) -> Markup:
    """A page's Markdown, without its title, as HTML in which no markup of its own is let through.

    Args:
        text: of the page.
        topics: pages that links may lead to, as `file.md`.
    """
    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = reader.parse(text.partition("\n")[2])
    for token in tokens:
        _mend(token, topics)
        for child in token.children or ():
            _mend(child, topics)
    return Markup(reader.renderer.render(tokens, reader.options, {}))


def _mend(token: Token, topics: Sequence[str]) -> None:
    """Links inside the manual, and its pictures; what is wider than a screen can be reached by keys."""
    if token.type == "link_open":
        address = str(token.attrGet("href") or "")
        name, _, place = address.partition("#")
        if name.endswith(".md") and name[:-3] in topics:
            token.attrSet("href", f"/guide/{name[:-3]}{'#' + place if place else ''}")
    if token.type == "image":
        token.attrSet("src", f"/guide/{token.attrGet('src')}")
    if token.type in {"fence", "table_open"}:
        token.attrSet("tabindex", "0")
