"""What a published table was taken to say, in sentences that name the line that says it."""

from collections.abc import Callable, Iterable

from harmonics.errors import printable
from harmonics.files.published.results import ImportedCurrent, ImportedTable, NoteKind, TableFacts
from harmonics.files.published.speeds import SPEED_TOLERANCE
from harmonics.files.published.statements import Fact, Said
from harmonics.files.published.units import PhaseKind
from harmonics.units import METRES_PER_SECOND_PER_KNOT

LONGEST_QUOTE = 60
MOST_LISTED = 20


def sentences(found: ImportedTable | ImportedCurrent) -> tuple[str, ...]:
    """Everything taken from a table or assumed of it."""
    facts = found.facts
    told = [_NOTES[item.kind](item.about) for item in facts.notes]
    told += [_unit(facts), _phase(facts), *_place(found), *_directions(found)]
    told.append("Node factors as US agencies use them (yearly, Schureman) go with these constants.")
    return tuple(printable(sentence) for sentence in told)


def _source(facts: TableFacts, fact: Fact) -> str:
    """Which line says it, or that an option does."""
    said = next((item for item in facts.sources if item.fact is fact), None)
    return "as given" if said is None else whence(said)


def whence(said: Said) -> str:
    """The line that says something, with its beginning."""
    if said.line is None:
        return "as given"
    text = " ".join(said.line.text.split())
    quote = text if len(text) <= LONGEST_QUOTE else text[:LONGEST_QUOTE] + "..."
    return f"as {said.line.where} says: '{quote}'"


def _unit(facts: TableFacts) -> str:
    kind = "Speeds" if facts.published.of_currents else "Amplitudes"
    return f"{kind} in {facts.published.value}, {_source(facts, Fact.UNIT)}."


def _phase(facts: TableFacts) -> str:
    source = _source(facts, Fact.PHASE)
    if facts.phase is PhaseKind.GREENWICH:
        return f"Phase lags are Greenwich, {source}."
    offset = f"G = g - speed x ({facts.utc_offset:+g} h)"
    return (
        f"Phase lags are local, {source}; turned to Greenwich with {offset}, {_source(facts, Fact.OFFSET)}."
    )


def _place(found: ImportedTable | ImportedCurrent) -> list[str]:
    place = found.facts.place
    told = [
        f"{item.fact.value.capitalize()}: {_value(item)}, {whence(item)}."
        for item in (place.station, place.latitude, place.longitude, place.datum, place.zone)
        if item is not None
    ]
    if isinstance(found, ImportedTable) and found.mean_level is not None:
        source = "as its line among the constituents says"
        if place.mean_level is not None:
            source = whence(place.mean_level)
        level = found.mean_level / found.unit.metres
        told.append(f"Mean level {level:.4g} {found.unit.symbol} above the datum, {source}.")
    return told


def _directions(found: ImportedTable | ImportedCurrent) -> list[str]:
    """Where a current sets, and its mean flow along its axis."""
    if not isinstance(found, ImportedCurrent):
        return []
    told = [
        f"{name} sets to {direction:g} degrees true"
        for name, direction in (("The flood", found.flood_direction), ("the ebb", found.ebb_direction))
        if direction is not None
    ]
    mean = round(found.mean_along / METRES_PER_SECOND_PER_KNOT, 4) + 0.0
    flow = f"mean flow {mean:g} kn" if mean else "no mean flow is said"
    text = ", ".join([*told, flow])
    return [f"{text[:1].upper()}{text[1:]}."]


def _value(said: Said) -> str:
    return f"{said.value:g}" if isinstance(said.value, float) else str(said.value)


_NOTES: dict[NoteKind, Callable[[tuple[str, ...]], str]] = {
    NoteKind.NO_SPEEDS: lambda _: "The table has no speeds: constituents are taken by their names alone.",
    NoteKind.SPEEDS_AGREE: lambda _: (
        f"Speeds agree with the catalogue to {SPEED_TOLERANCE:g} degrees an hour or their last digit."
    ),
    NoteKind.OTHER_MEANING: lambda about: (
        f"{about[0]} ({about[2]}) has the speed of {about[1]}, and is taken for that."
    ),
    NoteKind.NO_AMPLITUDE: lambda about: f"Left out, of amplitude 0: {_listed(about)}.",
    NoteKind.NO_NUMBERS: lambda about: f"Left out, without numbers: {_listed(about)}.",
    NoteKind.BOTH_PHASES: lambda about: (
        f"The table has both lags: '{about[0]}' is used, {_quoted(about[1:])} is not."
    ),
    NoteKind.BOTH_AMPLITUDES: lambda about: (
        f"Amplitudes stand in units that agree: '{about[0]}' is used, {_quoted(about[1:])} is not."
    ),
    NoteKind.PASSED_OVER: lambda about: f"Read as no constituents: {_listed(about)}.",
    NoteKind.TWO_READINGS: lambda about: f"The {about[0]} is said twice and not taken: {_listed(about[1:])}.",
    NoteKind.ONE_AXIS: lambda _: (
        "The minor axis is left out, for the table does not say where it is positive: give "
        "--across-direction to keep it."
    ),
    NoteKind.ROTATION: lambda _: (
        "A positive minor axis is taken to turn anticlockwise, as is common; ellipses are turned into east "
        "and north components."
    ),
    NoteKind.FLOOD_IS_AXIS: lambda about: (
        f"The flood is taken to set where the axis is positive, {about[0]} degrees true."
    ),
    NoteKind.NOT_UTF8: lambda _: "The text is not UTF-8 and was read as Windows-1252.",
}


def _quoted(titles: Iterable[str]) -> str:
    return " and ".join(f"'{title}'" for title in titles)


def _listed(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - MOST_LISTED} more" if len(names) > MOST_LISTED else ""
    return ", ".join(names[:MOST_LISTED]) + more
