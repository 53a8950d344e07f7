"""Which constituents a record can tell apart, and which are inferred from a neighbour.

Two lines are told apart where they slip a whole turn against each other within the record (the Rayleigh
criterion). Lines are tried in the order of their strength in the equilibrium tide, then the shallow-water
ones. Each must be apart from every stronger line, whether that was admitted or not: a weak line that is
apart only from the admitted ones would take the place of the strong one beside it.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from harmonics.catalogue.constituents import Constituent, find
from harmonics.catalogue.equilibrium import COEFFICIENTS, INFERENCE_PAIRS, LEAST_INFERRED, SHALLOW_WATER
from harmonics.errors import EbblightError
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import DAY, HOUR

RAYLEIGH = 0.97
"""Turns two lines must slip to be told apart. A whole turn would refuse a calendar year of 365 days the
lines a year apart, which ask for 365.24 or 365.26; agencies fit those to a year (common practice)."""
TREND_CYCLES = 2.0
"""Beside a trend a slow line needs two cycles: over one cycle a sine and a straight line look alike."""


@dataclass(frozen=True, slots=True)
class Inference:
    """A constituent taken in a fixed relation to another.

    Attributes:
        name, reference: canonical names.
        ratio: H of name over H of reference.
        lag: G of name less G of reference, degrees.
        source: where ratio and lag come from, in words.
    """

    name: str
    reference: str
    ratio: float
    lag: float = 0.0
    source: str = "given"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A line the record is too short or too coarse for.

    Attributes:
        name: canonical name.
        neighbour: the line it can't be told from; empty where it is the mean level or the step.
        days: length of record that would do; nan where only shorter steps would.
    """

    name: str
    neighbour: str
    days: float


@dataclass(frozen=True, eq=False)
class Selection:
    """The lines of an analysis.

    Attributes:
        fitted: found from the record, in order of speed.
        inferred: taken from a fitted one.
        left_out: what the record is too short for, strongest first (inferred lines among them).
    """

    fitted: tuple[Constituent, ...]
    inferred: tuple[Inference, ...]
    left_out: tuple[LeftOut, ...]


def candidates() -> tuple[Constituent, ...]:
    """Every line that is looked for, in order of admission."""
    strongest = sorted(COEFFICIENTS, key=lambda name: -COEFFICIENTS[name])
    return tuple(find(name) for name in (*strongest, *SHALLOW_WATER))


def resolve(
    duration: float, step: float, trend: bool = False, rayleigh: float = RAYLEIGH
) -> tuple[tuple[Constituent, ...], tuple[LeftOut, ...]]:
    """Lines a record tells apart, in order of admission, and those it can't.

    Args:
        duration: of the record, seconds.
        step: between readings, seconds; lines of less than two steps a cycle are left out.
        trend: whether a trend is fitted beside them.
        rayleigh: turns two lines must slip against each other.
    """
    hours = duration / HOUR
    least = 360.0 * rayleigh / hours
    slowest = least * (TREND_CYCLES if trend else 1.0)
    fastest = 180.0 / (step / HOUR)
    admitted: list[Constituent] = []
    stronger: list[Constituent] = []
    left: list[LeftOut] = []
    for row in candidates():
        if row.speed >= fastest:
            left.append(LeftOut(row.name, "", math.nan))
            continue
        gaps = [abs(row.speed - other.speed) for other in stronger]
        near = int(np.argmin(gaps)) if gaps else -1
        if row.speed < slowest:
            left.append(LeftOut(row.name, "", duration * slowest / row.speed / DAY))
        elif gaps and gaps[near] < least:
            days = duration * least / max(gaps[near], 1e-9) / DAY
            left.append(LeftOut(row.name, stronger[near].name, days))
        else:
            admitted.append(row)
        stronger.append(row)
    return tuple(admitted), tuple(left)


def select(
    duration: float,
    step: float,
    *,
    names: Sequence[str] | None = None,
    trend: bool = False,
    rayleigh: float = RAYLEIGH,
    infer: bool = True,
    inferences: Iterable[Inference] = (),
    reference: HarmonicConstants | None = None,
) -> Selection:
    """The lines to fit and to infer.

    Args:
        duration, step: of the record, seconds.
        names: the lines to fit, instead of those the record tells apart; then nothing is inferred but what
            `inferences` asks for.
        trend, rayleigh: as in `resolve`.
        infer: whether close neighbours that stay unresolved are inferred.
        inferences: ratios and lags to use, whatever the record's length.
        reference: constants of a station near by, whose ratios and lags replace the equilibrium ones.

    Raises:
        UnknownConstituentError: a name that nothing explains.
        EbblightError: an inference from a constituent that is not fitted, or of one from itself.
    """
    given = {find(item.name).name: item for item in inferences}
    admitted, left = resolve(duration, step, trend, rayleigh)
    if names is not None:
        admitted = tuple(dict.fromkeys(find(name) for name in names))
    fitted = {row.name: row for row in admitted if row.name not in given}
    wanted: dict[str, Inference] = {}
    if infer and names is None:
        wanted = _default_inferences(fitted, given, left, reference)
    wanted |= {
        name: Inference(name, find(item.reference).name, item.ratio, item.lag, item.source)
        for name, item in given.items()
    }
    if bad := [item for item in wanted.values() if item.reference not in fitted]:
        raise EbblightError(
            f"{bad[0].name} can't be inferred from {bad[0].reference}: {bad[0].reference} is not fitted"
        )
    rows = tuple(sorted(fitted.values(), key=lambda row: row.speed))
    return Selection(rows, tuple(wanted.values()), () if names is not None else left)


def _default_inferences(
    fitted: dict[str, Constituent],
    given: dict[str, Inference],
    left: tuple[LeftOut, ...],
    reference: HarmonicConstants | None,
) -> dict[str, Inference]:
    known = {} if reference is None else reference.named()
    found: dict[str, Inference] = {}
    for item in left:
        name = item.name
        if name in given or name not in INFERENCE_PAIRS:
            continue
        if COEFFICIENTS[name] < LEAST_INFERRED and name not in known:
            continue
        root = INFERENCE_PAIRS[name]
        while root not in fitted and root in INFERENCE_PAIRS:
            root = INFERENCE_PAIRS[root]
        if root not in fitted:
            continue
        if name in known and root in known and known[root].amplitude > 0:
            ratio = known[name].amplitude / known[root].amplitude
            lag = known[name].phase_lag - known[root].phase_lag
            found[name] = Inference(name, root, ratio, (lag + 180) % 360 - 180, "reference station")
        else:
            found[name] = Inference(name, root, COEFFICIENTS[name] / COEFFICIENTS[root], 0.0, "equilibrium")
    return found
