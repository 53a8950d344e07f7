"""Names from a file as plain text: they may hold anything, so what could steer a screen is taken out."""

import re
import unicodedata

from harmonics.errors import SHAPELESS, marked

_STEERING = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029\u2800"
)
"""Directional controls and separators: unmatched, they would reorder or break the text around a name."""
FIRST_PICTOGRAPH = 0x2190
"""Below are the signs that letters come with, such as those of degrees and trade marks."""
_JOINERS = frozenset("\u200d\u20e3")
_UNSHOWN = frozenset({"Cc", "Cs", "Co", "Cn"})
_LOOSE_JOINER = re.compile("(?<![^\\x00-\\x7f\\s])[\u200c\u200d]|[\u200c\u200d](?![^\\x00-\\x7f\\s])")
"""Joiners belong between letters of scripts that join, and between small pictures."""
FIRST_ISOLATE, POP_ISOLATE = "\u2068", "\u2069"
_BLANKS: dict[int, str | None] = {
    **dict.fromkeys(map(ord, _STEERING), " "),
    **dict.fromkeys(map(ord, FIRST_ISOLATE + POP_ISOLATE), None),
}


def plain(name: str) -> str:
    """The name on one line, without control and invisible characters and piles of accents."""
    kept = (" " if char in _STEERING or unicodedata.category(char) in _UNSHOWN else char for char in name)
    return " ".join(_shown("".join(kept)).split()) or "(no name)"


def unsteered(text: str) -> str:
    """Text of a screen without what could reorder its lines, hide in them or pile up over them."""
    return _shown(text.translate(_BLANKS))


def _shown(text: str) -> str:
    if text.isascii():
        return text
    seen = _LOOSE_JOINER.sub("", SHAPELESS.sub("", text))
    return "".join(char for char, piled in marked(seen) if not piled)


def short(name: str, length: int) -> str:
    """The plain name, cut with an ellipsis to at most `length` characters."""
    text = plain(name)
    return text if len(text) <= length else text[: length - 1].rstrip() + "…"


def without_pictographs(text: str) -> str:
    """Text without emoji and other small pictures, their joiners and tints: few fonts can draw them."""
    return "".join(char for char in text if not _is_pictograph(char))


def _is_pictograph(char: str) -> bool:
    code = ord(char)
    if code < FIRST_PICTOGRAPH:
        return char in _JOINERS
    return (
        unicodedata.category(char) == "So"
        or 0x1F3FB <= code <= 0x1F3FF  # tints of skin
        or 0xFE00 <= code <= 0xFE0F  # variation selectors
        or 0xE0020 <= code <= 0xE007F  # tags of flags
    )


def isolated(text: str) -> str:
    """Text that cannot reorder what stands beside it; left as it is where it runs left to right."""
    directions = {unicodedata.bidirectional(char) for char in text}
    return f"{FIRST_ISOLATE}{text}{POP_ISOLATE}" if directions & {"R", "AL", "AN"} else text


def named(name: str) -> str:
    """The plain name for the middle of a sentence, whichever way it runs."""
    return isolated(plain(name))
