"""Ids of a file's tables: made from names, and which are taken."""

import unicodedata
from collections.abc import Mapping
from typing import Any

SHARING = (("stations", "currents"), ("spots", "banks", "landings"))
"""Lists whose ids name one thing each together: ways and days out name spots, banks and landings alike."""
LONGEST_ID = 64


_PLAIN = str.maketrans(
    {"ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
    | {"Ø": "O", "Æ": "Ae", "Œ": "Oe", "Ł": "L", "Đ": "D", "Ð": "D", "Þ": "Th"}
)
"""Letters that have no plain one with a mark in them."""


def identifier_of(name: str) -> str:
    """An id from a name: its letters without their marks, its digits, the rest as hyphens."""
    parts = unicodedata.normalize("NFKD", name.translate(_PLAIN))
    bare = (letter for letter in parts if not unicodedata.combining(letter))
    letters = (letter if letter.isalnum() and letter.isascii() else "-" for letter in bare)
    return "-".join(filter(None, "".join(letters).split("-"))).lower()[:LONGEST_ID].strip("-") or "place"


def free_id(document: Mapping[str, Any], kind: str, name: str) -> str:
    """An id from a name that no table has that must not share one.

    Args:
        document: the file as it stands, from `load_document`.
        kind: key of the list that it is for.
        name: of the new place.
    """
    taken, wanted = taken_ids(document, kind), identifier_of(name)
    number, tried = 1, wanted
    while tried in taken:
        number += 1
        ending = f"-{number}"
        tried = f"{wanted[: LONGEST_ID - len(ending)]}{ending}"
    return tried


def taken_ids(document: Mapping[str, Any], kind: str, but: int | None = None) -> dict[str, str]:
    """Ids that a table of a kind can't have, each with where it stands."""
    kinds = next((group for group in SHARING if kind in group), (kind,))
    return {
        str(item["id"]): f"{other}[{i}]"
        for other in kinds
        for i, item in enumerate(tables_of(document, other))
        if "id" in item and (other, i) != (kind, but)
    }


def tables_of(document: Mapping[str, Any], kind: str) -> list[Mapping[str, Any]]:
    """The tables of one list of a file as it stands; empty where it is none."""
    found = document.get(kind, [])
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []
