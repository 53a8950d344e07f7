"""Names from a file as plain text: they may hold anything, so what could steer a screen is taken out."""

import re
import unicodedata

_STEERING = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029\u2800"
)
"""Directional controls and separators: unmatched, they would reorder or break the text around a name."""
FIRST_PICTOGRAPH = 0x2190
"""Below are the signs that letters come with, such as those of degrees and trade marks."""
_JOINERS = frozenset("\u200d\u20e3")
_UNSHOWN = frozenset({"Cc", "Cs", "Co", "Cn"})
_INVISIBLE = re.compile(
    "[\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff"
    "\uffa0\ufff9-\ufffb\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)
"""Characters without a shape (Unicode's Default_Ignorable_Code_Point, but for joiners): two names that look
alike would differ by them."""
_LOOSE_JOINER = re.compile("(?<![^\\x00-\\x7f\\s])[\u200c\u200d]|[\u200c\u200d](?![^\\x00-\\x7f\\s])")
"""Joiners belong between letters of scripts that join, and between small pictures."""
_PILE = re.compile(
    r"(?<=[\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f]{3})"
    r"[\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f]+"
)
"""Accents beyond three on one letter: no language has more, and piles of them cover the lines around."""
MOST_MARKS = 6
"""Marks of any script on one letter, with joiners between or not: stacks of Tibetan come near (judgement)."""
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
    return (
        text if text.isascii() else _unpiled(_PILE.sub("", _LOOSE_JOINER.sub("", _INVISIBLE.sub("", text))))
    )


def _unpiled(text: str) -> str:
    kept: list[str] = []
    marks = 0
    for char in text:
        if char not in "\u200c\u200d":
            marks = marks + 1 if unicodedata.category(char) in {"Mn", "Me"} else 0
        if marks <= MOST_MARKS:
            kept.append(char)
    return "".join(kept)


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
