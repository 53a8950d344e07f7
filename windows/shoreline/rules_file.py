"""The [[rules]] tables of a file, read and checked."""

import re
from contextlib import suppress
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from harmonics.files.checking import Name, Table, checked
from harmonics.files.problems import Here, shown
from windows.shoreline.rules import Measured, Rule, Season

LONGEST = 10.0
LENGTH_EXPECTED = 'a length such as "35cm" or "14in", up to 10 m'
SEASON_EXPECTED = 'days of the year such as ["05-01 to 10-15"]'
_METRES = {"mm": Decimal("0.001"), "cm": Decimal("0.01"), "m": Decimal(1), "in": Decimal("0.0254")}
LEAP_YEAR = 2024
"""29 February may end a season."""


class RuleTable(Table):
    """[[rules]]."""

    species: Name
    least_length: Annotated[str | None, Field(description=LENGTH_EXPECTED)] = None
    greatest_length: Annotated[str | None, Field(description=LENGTH_EXPECTED)] = None
    measured: Annotated[Literal["fork", "total"] | None, Field(description='"fork" or "total"')] = None
    bag: Annotated[
        int | None, Field(ge=0, le=10_000, description="fish a person and day, 0 or a whole number")
    ] = None
    season: Annotated[list[str] | None, Field(min_length=1, max_length=20, description=SEASON_EXPECTED)] = (
        None
    )
    source: Annotated[str, Field(max_length=500, description="a text: where the rule stands")] = ""
    checked: Annotated[
        date | None, Field(description="the day you looked it up, as 2026-03-01 without quotes")
    ] = None


def read_rules(tables: object, here: Here) -> tuple[Rule, ...]:
    """The rules of a file."""
    if not isinstance(tables, list):
        here.say(shown(tables), "[[rules]] tables")
        return ()
    rules: list[Rule] = []
    for index, table in enumerate(tables):
        model = checked(RuleTable, table, here.at(index))
        if model is not None:
            rules.append(_rule(model, here.at(index)))
    return tuple(rules)


def _rule(model: RuleTable, here: Here) -> Rule:
    ends: list[float | None] = []
    for key in ("least_length", "greatest_length"):
        text = getattr(model, key)
        ends.append(None if text is None else here.at(key).parsed(parse_length, text))
    least, greatest = ends
    if least is not None and greatest is not None and least > greatest:
        found_text, expected = shown(model.greatest_length), f"at least least_length, {model.least_length}"
        here.at("greatest_length").say(found_text, expected)
    if model.measured is None and (least is not None or greatest is not None):
        here.at("measured").missing('"fork" or "total": how the length is measured')
    seasons = [
        here.at("season", place).parsed(parse_season, text) for place, text in enumerate(model.season or ())
    ]
    return Rule(
        model.species,
        least,
        greatest,
        None if model.measured is None else Measured(model.measured),
        model.bag,
        tuple(season for season in seasons if season is not None),
        " ".join(model.source.split()),
        model.checked,
    )


def parse_length(text: str, unit: str | None = None) -> float:
    """Metres of a fish from "35cm", "14in", "355mm".

    Args:
        text: as written.
        unit: of a bare number; None where one is not enough.

    Raises:
        ValueError: it is none of these; the message says what is expected.
    """
    match = re.fullmatch(r"([0-9]{1,5}(?:\.[0-9]{1,4})?)\s*(mm|cm|m|in)?", text.strip().lower())
    scale = _METRES.get((match[2] or unit or "") if match else "")
    metres = float(Decimal(match[1]) * scale) if match and scale else 0.0
    if not 0.0 < metres <= LONGEST:
        raise ValueError(LENGTH_EXPECTED)
    return metres


def parse_season(text: str) -> Season:
    """A season from "05-01 to 10-15".

    Raises:
        ValueError: it is not one; the message says what is expected.
    """
    match = re.fullmatch(r"\s*([0-9]{2})-([0-9]{2})\s+to\s+([0-9]{2})-([0-9]{2})\s*", text)
    if match is not None:
        with suppress(ValueError):
            first = date(LEAP_YEAR, int(match[1]), int(match[2]))
            last = date(LEAP_YEAR, int(match[3]), int(match[4]))
            return Season((first.month, first.day), (last.month, last.day))
    raise ValueError(SEASON_EXPECTED)
