"""Trips as their pages show them: rows of the list, and the form of one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from harmonics.errors import Problem, printable
from windows.app.trip_reading import fingerprint
from windows.log.rules import Judgement
from windows.log.trips import Trip
from windows.render.page.forms import FieldView, Group, Option
from windows.render.page.site import address
from windows.render.words import log as log_words
from windows.render.words.file_forms import wrong
from windows.render.words.safe_text import plain
from windows.render.words.trip_form import FIELDS
from windows.shoreline.shore import Shore

OPTION_OF = {"fished_for": "fished"}
"""Options of the command that are not called as their attribute."""


@dataclass(frozen=True, slots=True)
class TripRow:
    """A trip in the list."""

    address: str
    when: str
    spot: str
    hours: str
    caught: str
    points: str


@dataclass(frozen=True, slots=True)
class TripForm:
    """The form of a trip.

    Attributes:
        action: where it is sent.
        groups: its fields.
        problems: those that belong to no field.
        kept: what is kept already: what it was, its forecast, what the rules say; empty of a new trip.
        seen: the state of the trip that the form stands on.
        planned, removed: whether the trip is only planned, and whether it was taken out.
        computes: whether a forecast can be computed for it now.
    """

    action: str
    groups: tuple[Group, ...]
    problems: tuple[str, ...]
    kept: tuple[str, ...]
    seen: str
    planned: bool
    removed: bool
    computes: bool


def trip_rows(trips: Sequence[Trip], shore: Shore, name: str) -> tuple[TripRow, ...]:
    """Rows of the list, as the trips are ordered."""
    return tuple(
        TripRow(
            address(name, "log", str(trip.number)),
            log_words.when(trip, shore.head.units),
            plain(trip.spot_name),
            f"{trip.angler_hours:.1f}",
            log_words.catch_words(trip),
            log_words.points_words(trip.forecast),
        )
        for trip in trips
    )


def trip_form(
    shore: Shore,
    name: str,
    known: Mapping[str, str],
    *,
    kept: Trip | None = None,
    rulings: Sequence[Judgement] = (),
    problems: Sequence[Problem] = (),
    planned: bool = False,
) -> TripForm:
    """The form of a new trip, or of one that is kept.

    Args:
        shore: its file.
        name: of the file.
        known: what stands in the fields, by key.
        kept: the trip; None for a new one.
        rulings: what the rules say of its fish.
        problems: what was wrong with the form as it was sent, under the command's options.
        planned: whether a new trip is still to come.
    """
    choices = {
        "spot": [(item.id, item.name) for item in shore.spots],
        "quarry": [(item.name, item.name) for item in shore.quarry],
    }
    fields = {item.key for group in FIELDS.values() for item in group}
    owners = {f"--{OPTION_OF.get(key, key).replace('_', '-')}": key for key in fields}
    owners["--catch"] = "nothing"
    groups = []
    for heading, items in FIELDS.items():
        views = []
        for item in items:
            options = choices.get(item.key) or [(value, value) for value in item.choices]
            told = tuple(_words(found) for found in problems if owners.get(found.where) == item.key)
            kind = (
                "flag"
                if item.key == "nothing"
                else "choice"
                if options
                else "lines"
                if item.lines
                else "text"
            )
            views.append(
                FieldView(
                    item.key,
                    item.label,
                    item.hint,
                    known.get(item.key, ""),
                    kind,
                    tuple(Option(value, plain(label)) for value, label in options),
                    told,
                )
            )
        groups.append(Group(heading, tuple(views)))
    number = "new" if kept is None else str(kept.number)
    return TripForm(
        address(name, "log", number),
        tuple(groups),
        tuple(_words(found) for found in problems if found.where not in owners),
        () if kept is None else _kept(kept, shore, rulings),
        "" if kept is None else known.get("seen", fingerprint(kept)),
        planned if kept is None else not kept.fished,
        kept is not None and kept.removed_at is not None,
        kept is not None and kept.forecast is None,
    )


def _kept(trip: Trip, shore: Shore, rulings: Sequence[Judgement]) -> tuple[str, ...]:
    units = shore.head.units
    lines = log_words.judgement_lines(rulings, units)
    ruled = [log_words.NO_RULES] if lines and not shore.rules else lines
    return (log_words.trip_words(trip, units), log_words.forecast_words(trip.forecast), *ruled)


def _words(problem: Problem) -> str:
    """What is wrong with a field, beside it."""
    if not problem.found:
        return printable(problem.expected)
    return wrong(problem.found, problem.expected)
