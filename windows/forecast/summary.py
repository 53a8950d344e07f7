"""What a shoreline's file comes to over a year: kinds of tide and ranges, strengths of flow, bared banks."""

from dataclasses import dataclass

from harmonics.arrays import Array
from harmonics.stations.datums import Regime, form_number, greatest_range, mean_range, regime
from harmonics.stations.inlet import InletResponse
from harmonics.stations.tides import even_levels, high_low_waters
from harmonics.stations.types import TideStation, primary_of
from harmonics.sums.waves import year_start
from windows.conditions.bait import BankState, bank_state
from windows.conditions.flow import FlowKind
from windows.conditions.flow_models import falling_water, mean_peak_fall, response_of
from windows.shoreline.outings import Landing
from windows.shoreline.shore import Shore
from windows.shoreline.spots import BasinSource, CurrentSource, InletSource, ScaledSource, Spot

YEAR_STEP = 1800.0
"""Seconds: a bank that bares, or a landing that opens, for less than half an hour in a year is of no use."""


@dataclass(frozen=True, eq=False)
class StationSummary:
    """A tide station over a year.

    Attributes:
        station: whose tide.
        mean_range, greatest_range: metres; NaN where the tide stands.
        regime: the kind of tide of the constants it goes by; None where they tell none.
        form_number: of those constants; NaN where they tell none.
    """

    station: TideStation
    mean_range: float
    greatest_range: float
    regime: Regime | None
    form_number: float


@dataclass(frozen=True, eq=False)
class FlowSummary:
    """How strong a spot's flow is.

    Attributes:
        kind: how it is known.
        strong_ebb: m/s, of a mean ebb, or the greatest of an inlet; None where no speed is known.
        counts_from, counts_full: falls of the level, m/s, where it is known by nothing else.
        response: how an inlet's bay answers the sea.
    """

    kind: FlowKind
    strong_ebb: float | None = None
    counts_from: float | None = None
    counts_full: float | None = None
    response: InletResponse | None = None


@dataclass(frozen=True, eq=False)
class SpotSummary:
    """A spot, its flow, and what the tide does to its bait bank over a year (None where it has none)."""

    spot: Spot
    flow: FlowSummary
    bank_state: BankState | None


@dataclass(frozen=True, eq=False)
class LandingSummary:
    """A landing, and the share of a year in which it has its water (None where it wants none)."""

    landing: Landing
    open_share: float | None


@dataclass(frozen=True, eq=False)
class ShoreSummary:
    """A whole file over one year, in the file's order."""

    shore: Shore
    year: int
    stations: tuple[StationSummary, ...]
    spots: tuple[SpotSummary, ...]
    landings: tuple[LandingSummary, ...] = ()


def summarise(shore: Shore, year: int) -> ShoreSummary:
    """The file over a calendar year (UTC) of predictions."""
    return ShoreSummary(
        shore,
        year,
        tuple(_station(station, year) for station in shore.stations),
        tuple(SpotSummary(spot, flow_summary(spot, year), _bank(spot, year)) for spot in shore.spots),
        tuple(LandingSummary(landing, _open_share(landing, year)) for landing in shore.landings),
    )


def _station(station: TideStation, year: int) -> StationSummary:
    turns = high_low_waters(station, year_start(year), year_start(year + 1)).turns
    constants = primary_of(station).constants
    kind = regime(constants)
    form = float("nan") if kind is None else form_number(constants)
    return StationSummary(station, mean_range(turns), greatest_range(turns), kind, form)


def flow_summary(spot: Spot, year: int) -> FlowSummary:
    """A spot's flow over a calendar year (UTC)."""
    source = spot.flow
    if isinstance(source, CurrentSource):
        return FlowSummary(FlowKind.MEASURED)
    if isinstance(source, InletSource):
        response, strongest = response_of(spot, source, year)
        return FlowSummary(FlowKind.INLET, strong_ebb=strongest, response=response)
    if isinstance(source, BasinSource):
        strong = source.basin_area / source.opening_area * mean_peak_fall(spot.station, year)
        return FlowSummary(FlowKind.BASIN, strong_ebb=strong)
    if isinstance(source, ScaledSource):
        return FlowSummary(FlowKind.SCALED, strong_ebb=source.strong_ebb)
    fall = falling_water(spot, year)
    return FlowSummary(FlowKind.FALL_ONLY, counts_from=fall.nothing_below, counts_full=fall.full_from)


def _bank(spot: Spot, year: int) -> BankState | None:
    if spot.bank is None:
        return None
    return bank_state(_levels(spot.bank.station, year), spot.bank.level)


def _open_share(landing: Landing, year: int) -> float | None:
    if landing.sill is None:
        return None
    return float(landing.sill.open_at(_levels(landing.sill.station, year)).mean())


def _levels(station: TideStation, year: int) -> Array:
    """Levels over a calendar year (UTC), every `YEAR_STEP`."""
    start = year_start(year)
    return even_levels(station, start, YEAR_STEP, int((year_start(year + 1) - start) / YEAR_STEP))
