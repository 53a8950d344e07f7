"""What a shoreline's file means, in words: its stations and their tides, its spots and preferences."""

import math

from harmonics.stations.datums import form_number, greatest_range, mean_range, regime
from harmonics.stations.events import Turns
from harmonics.stations.tides import even_levels, high_low_waters
from harmonics.stations.types import (
    AnyCurrentStation,
    CurrentStation,
    SecondaryCurrentStation,
    Station,
    TideStation,
    primary_of,
)
from harmonics.sums.waves import year_start
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.bait import bank_state
from windows.conditions.flow import FlowKind
from windows.conditions.flow_models import falling_water, mean_peak_fall, response_of
from windows.forecast.reports import Note
from windows.render.text.layout import paragraph
from windows.render.words import cautions
from windows.render.words.gates import limit_name
from windows.render.words.phrases import Words, words_of
from windows.shoreline.gates import Limit, Measure, SunDown
from windows.shoreline.shore import Shore
from windows.shoreline.spots import (
    WEEKDAYS,
    BasinSource,
    CurrentSource,
    InletSource,
    Preferences,
    ScaledSource,
    Spot,
)


def summary(shore: Shore, year: int, width: int) -> str:
    """The file in words, with ranges of one year's predictions."""
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
        lines = [_station(station, year, words, width) for station in shore.stations]
        parts.append("\n".join(["Stations", *lines]))
    if shore.currents:
        parts.append("\n".join(["Currents", *(_current(current, width) for current in shore.currents)]))
    if shore.spots:
        parts.append("\n".join(["Spots", *(_spot(spot, year, words, width) for spot in shore.spots)]))
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"


def _station(station: TideStation, year: int, words: Words, width: int) -> str:
    turns = high_low_waters(station, year_start(year), year_start(year + 1)).turns
    primary = primary_of(station)
    count = len(primary.constants.constituents)
    if station is primary:
        origin = f"{count} constituents, {primary.practice.value} node factors, {_tide(primary)}"
    else:
        origin = f"follows {primary.id} by time differences and factors"
    place = "" if station.latitude is None else f" at {station.latitude:.4f}, {station.longitude:.4f}"
    mean, greatest = _ranges(turns, words)
    return paragraph(
        f"{station.id}: {station.name}{place}; {origin}; mean range {mean}, greatest {greatest} in {year}; "
        f"heights above {station.datum}.",
        width,
        hanging=2,
    )


def _tide(station: Station) -> str:
    kind = regime(station.constants)
    if kind is None:
        return "neither M2, S2, K1 nor O1 among them"
    return f"{kind.value} tide (form number {form_number(station.constants):.2f})"


def _ranges(turns: Turns, words: Words) -> tuple[str, str]:
    mean, greatest = (
        "-" if math.isnan(value) else words.height(value, 2)
        for value in (mean_range(turns), greatest_range(turns))
    )
    return mean, greatest


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


def _spot(spot: Spot, year: int, words: Words, width: int) -> str:
    limits = _limits(spot, Measure.LEVEL, words)
    if spot.depth_at_datum is not None:
        limits.append(f"depth at datum {words.height(spot.depth_at_datum)}")
    limits += _limits(spot, Measure.DEPTH, words)
    kind, details = _flow(spot, year, words)
    parts = [details, *limits, *_bank(spot, year, words), _wishes(spot.preferences)]
    if kind is FlowKind.FALL_ONLY and any(gate.measure is Measure.SPEED for gate in limits_of(spot)):
        parts.append(Note.UNWATCHED.value)
    text = (
        f"{spot.id}: {spot.name} at {spot.latitude:.4f}, {spot.longitude:.4f}, tide of {spot.station.id}; "
        f"{kind.value} ({kind.trust}); {'; '.join(parts)}."
    )
    return paragraph(text, width, hanging=2)


def limits_of(spot: Spot) -> list[Limit]:
    """The limits among a spot's gates."""
    return [gate for gate in spot.gates if isinstance(gate, Limit)]


def _limits(spot: Spot, measure: Measure, words: Words) -> list[str]:
    return [
        f"{limit_name(gate)} {words.height(gate.value)}" for gate in spot.limits if gate.measure is measure
    ]


def _flow(spot: Spot, year: int, words: Words) -> tuple[FlowKind, str]:
    """The kind of a spot's flow, and what its file's numbers come to."""
    source = spot.flow
    lag = (
        "nobody has said when the current here turns, so it is taken to turn with the tide"
        if spot.slack_lag is None
        else f"the water turns {spot.slack_lag / 60:.0f} min after high and low water"
    )
    if isinstance(source, CurrentSource):
        strength = "as strong" if source.factor == 1.0 else f"{source.factor:g} times as strong"
        carried = f"{source.delay / 60:.0f} min behind it, {strength}"
        return FlowKind.MEASURED, f"current of {source.station.id}, {carried}"
    if isinstance(source, InletSource):
        response, strongest = response_of(spot, source, year)
        if math.isnan(response.range_ratio):
            return FlowKind.INLET, "the sea outside hardly moves"
        return FlowKind.INLET, (
            f"bay range {response.range_ratio:.2f} of the sea's, the water turns "
            f"{response.high_lag / 60:.0f} min after high and {response.low_lag / 60:.0f} min after low "
            f"water, greatest ebb {words.movement(strongest, True)}"
        )
    peak = mean_peak_fall(spot.station, year)
    if isinstance(source, BasinSource):
        strong = words.movement(source.basin_area / source.opening_area * peak, True)
        return FlowKind.BASIN, f"strongest on a mean ebb {strong}; {lag}"
    if isinstance(source, ScaledSource):
        return FlowKind.SCALED, f"strong ebb {words.movement(source.strong_ebb, True)}; {lag}"
    fall = falling_water(spot, year)
    low, high = words.movement(fall.nothing_below, False), words.movement(fall.full_from, False)
    return FlowKind.FALL_ONLY, f"counts from {low}, in full from {high}; {lag}"


def _bank(spot: Spot, year: int, words: Words) -> list[str]:
    if spot.bank is None:
        return []
    step = 1800.0
    count = int((year_start(year + 1) - year_start(year)) / step)
    state = bank_state(even_levels(spot.bank.station, year_start(year), step, count), spot.bank.level)
    return [f"bait from {spot.bank.name}, which {state.value} at {words.height(spot.bank.level)}"]


def _wishes(wanted: Preferences) -> str:
    points = wanted.points
    days = "" if len(wanted.days) == 7 else f" on {', '.join(WEEKDAYS[day] for day in wanted.days)}"
    hours = "the command's" if wanted.hours is None else wanted.hours.text
    text = (
        f"light {wanted.light.value}, hours {hours}{days}, session {wanted.session / 60:.0f} min, "
        f"points flow {points.flow:g} + light {points.light:g} + moon {points.moon:g}, "
        f"kept from {wanted.keep:g}"
    )
    for gate in wanted.gates:
        if isinstance(gate, SunDown):
            text += ", daylight only"
        elif isinstance(gate, Limit):
            text += f", {limit_name(gate)} {gate.value / METRES_PER_SECOND_PER_KNOT:g} kn"
    return text
