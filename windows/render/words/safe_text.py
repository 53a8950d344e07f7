"""Names from a file as plain text: they may hold anything, so what could steer a screen is taken out."""

import unicodedata

_STEERING = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029")
"""Directional controls and separators: unmatched, they would reorder or break the text around a name."""
_UNSHOWN = frozenset({"Cc", "Cs", "Co", "Cn"})
FIRST_ISOLATE, POP_ISOLATE = "\u2068", "\u2069"
_BLANKS: dict[int, str | None] = {
    **dict.fromkeys(map(ord, _STEERING), " "),
    **dict.fromkeys(map(ord, FIRST_ISOLATE + POP_ISOLATE), None),
}


def plain(name: str) -> str:
    """The name on one line, without control characters."""
    kept = (" " if char in _STEERING or unicodedata.category(char) in _UNSHOWN else char for char in name)
    return " ".join("".join(kept).split()) or "(no name)"


def unsteered(text: str) -> str:
    """Text without directional controls and separators: they can't reorder a line of a screen."""
    return text.translate(_BLANKS)


def short(name: str, length: int) -> str:
    """The plain name, cut with an ellipsis to at most `length` characters."""
    text = plain(name)
    return text if len(text) <= length else text[: length - 1].rstrip() + "…"


def isolated(text: str) -> str:
    """Text that cannot reorder what stands beside it; left as it is where it runs left to right."""
    directions = {unicodedata.bidirectional(char) for char in text}
    return f"{FIRST_ISOLATE}{text}{POP_ISOLATE}" if directions & {"R", "AL", "AN"} else text


def named(name: str) -> str:
    """The plain name for the middle of a sentence, whichever way it runs."""
    return isolated(plain(name))
