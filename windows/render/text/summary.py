"""What a shoreline's file means, in words: its stations and their tides, its spots and preferences."""

import math
from collections.abc import Sequence

from harmonics.stations.types import (
    AnyCurrentStation,
    CurrentStation,
    SecondaryCurrentStation,
    primary_of,
)
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.bait import BankState
from windows.conditions.flow import FlowKind
from windows.forecast.reports import Note
from windows.forecast.summary import FlowSummary, ShoreSummary, SpotSummary, StationSummary
from windows.render.text.layout import paragraph
from windows.render.text.outing_summary import outing_parts
from windows.render.words import cautions
from windows.render.words.gates import limit_name
from windows.render.words.phrases import Words, words_of
from windows.shoreline.gates import Limit, Measure, SunDown
from windows.shoreline.spots import WEEKDAYS, BaitKind, Bank, CurrentSource, Preferences, Spot


def summary_text(found: ShoreSummary, width: int, more: Sequence[str] = ()) -> str:
    """The file in words, with ranges of one year's predictions; `more` follows, empty texts left out."""
    shore = found.shore
    words = words_of(shore.head)
    head = [cautions.INVENTED] if shore.head.invented else []
    head.append(paragraph(f"{shore.head.title}: no problems found in {shore.path.name}", width))
    counts = [
        f"{len(items)} {name}{'' if len(items) == 1 else 's'}"
        for name, items in (("station", shore.stations), ("current", shore.currents), ("spot", shore.spots))
    ]
    head.append(
        paragraph(f"{', '.join(counts)}; clock {shore.head.zone.key}; {shore.head.units.value}.", width)
    )
    parts = ["\n".join(head)]
    if shore.stations:
        lines = [_station(station, found.year, words, width) for station in found.stations]
        parts.append("\n".join(["Stations", *lines]))
    if shore.currents:
        parts.append("\n".join(["Currents", *(_current(current, width) for current in shore.currents)]))
    if shore.spots:
        parts.append("\n".join(["Spots", *(_spot(spot, words, width) for spot in found.spots)]))
    parts += outing_parts(found, words, width)
    return "\n\n".join([*parts, *filter(None, more), cautions.SHORT]) + "\n"


def _station(found: StationSummary, year: int, words: Words, width: int) -> str:
    station = found.station
    primary = primary_of(station)
    count = len(primary.constants.constituents)
    if station is primary:
        origin = f"{count} constituents, {primary.practice.value} node factors, {_tide(found)}"
    else:
        origin = f"follows {primary.id} by time differences and factors"
    place = "" if station.latitude is None else f" at {station.latitude:.4f}, {station.longitude:.4f}"
    mean, greatest = (
        "-" if math.isnan(value) else words.height(value, 2)
        for value in (found.mean_range, found.greatest_range)
    )
    return paragraph(
        f"{station.id}: {station.name}{place}; {origin}; mean range {mean}, greatest {greatest} in {year}; "
        f"heights above {station.datum}.",
        width,
        hanging=2,
    )


def _tide(found: StationSummary) -> str:
    if found.regime is None:
        return "neither M2, S2, K1 nor O1 among them"
    return f"{found.regime.value} tide (form number {found.form_number:.2f})"


def _current(current: AnyCurrentStation, width: int) -> str:
    if isinstance(current, SecondaryCurrentStation):
        origin = f"follows {current.reference.id} by time differences and speed ratios"
        sets = f"flood {current.flood_direction:.0f}, ebb {current.ebb_direction:.0f} deg true"
    elif isinstance(current, CurrentStation):
        mean = current.mean_flow / METRES_PER_SECOND_PER_KNOT
        origin = f"{len(current.constants.constituents)} constituents, mean flow {mean:+.2f} kn"
        sets = f"flood {current.flood_direction:.0f}, ebb {current.ebb_direction:.0f} deg true"
    else:
        counts = f"{len(current.along.constituents)} and {len(current.across.constituents)}"
        origin = f"{counts} constituents on two axes"
        sets = f"flood counted towards {current.flood_direction:.0f} deg true"
    return paragraph(f"{current.id}: {current.name}; {origin}; {sets}.", width, hanging=2)


def _spot(found: SpotSummary, words: Words, width: int) -> str:
    spot, kind = found.spot, found.flow.kind
    limits = _limits(spot, Measure.LEVEL, words)
    if spot.depth_at_datum is not None:
        limits.append(f"depth at datum {words.height(spot.depth_at_datum)}")
    limits += _limits(spot, Measure.DEPTH, words)
    parts = [_flow(spot, found.flow, words), *limits]
    if spot.bank is not None and found.bank_state is not None:
        parts.append(_bank(spot.bank, found.bank_state, words))
    parts.append(_preferences(spot.preferences))
    if kind is FlowKind.FALL_ONLY and any(
        isinstance(gate, Limit) and gate.measure is Measure.SPEED for gate in spot.gates
    ):
        parts.append(Note.UNWATCHED.value)
    text = (
        f"{spot.id}: {spot.name} at {spot.latitude:.4f}, {spot.longitude:.4f}, tide of {spot.station.id}; "
        f"{kind.value} ({kind.trust}); {'; '.join(parts)}."
    )
    return paragraph(text, width, hanging=2)


def _limits(spot: Spot, measure: Measure, words: Words) -> list[str]:
    return [
        f"{limit_name(gate)} {words.height(gate.value)}" for gate in spot.limits if gate.measure is measure
    ]


def _flow(spot: Spot, flow: FlowSummary, words: Words) -> str:
    """What the file's numbers of a spot's flow come to."""
    source, response = spot.flow, flow.response
    if isinstance(source, CurrentSource):
        strength = "as strong" if source.factor == 1.0 else f"{source.factor:g} times as strong"
        return f"current of {source.station.id}, {source.delay / 60:.0f} min behind it, {strength}"
    if response is not None and math.isnan(response.range_ratio):
        return "the sea outside hardly moves"
    strong = "" if flow.strong_ebb is None else words.movement(flow.strong_ebb, True)
    if response is not None:
        return (
            f"bay range {response.range_ratio:.2f} of the sea's, the water turns "
            f"{response.high_lag / 60:.0f} min after high and {response.low_lag / 60:.0f} min after low "
            f"water, greatest ebb {strong}"
        )
    lag = (
        "nobody has said when the current here turns, so it is taken to turn with the tide"
        if spot.slack_lag is None
        else f"the water turns {spot.slack_lag / 60:.0f} min after high and low water"
    )
    if flow.counts_from is not None and flow.counts_full is not None:
        low, high = (words.movement(fall, False) for fall in (flow.counts_from, flow.counts_full))
        return f"counts from {low}, in full from {high}; {lag}"
    mean = "strongest on a mean ebb" if flow.kind is FlowKind.BASIN else "strong ebb"
    return f"{mean} {strong}; {lag}"


def _bank(bank: Bank, state: BankState, words: Words) -> str:
    if bank.bait is BaitKind.SHRIMP:
        return f"shrimp from {bank.name} on the night ebb"
    return f"bait from {bank.name}, which {state.value} at {words.height(bank.level)}"


def _preferences(wanted: Preferences) -> str:
    points = wanted.points
    flow, light = (points.flow + points.light, 0.0) if wanted.any_light else (points.flow, points.light)
    days = "" if len(wanted.days) == 7 else f" on {', '.join(WEEKDAYS[day] for day in wanted.days)}"
    hours = "the command's" if wanted.hours is None else wanted.hours.text
    text = "" if wanted.quarry is None else f"after {wanted.quarry}, "
    text += (
        f"light {wanted.light.value}, hours {hours}{days}, session {wanted.session / 60:.0f} min, "
        f"points flow {flow:g} + light {light:g} + moon {points.moon:g}, "
        f"kept from {wanted.keep:g}"
    )
    for gate in wanted.gates:
        if isinstance(gate, SunDown):
            text += ", daylight only"
        elif isinstance(gate, Limit):
            text += f", {limit_name(gate)} {gate.value / METRES_PER_SECOND_PER_KNOT:g} kn"
    return text
