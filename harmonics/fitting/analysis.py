"""Harmonic constants from observed levels.

Least squares on the sum the prediction uses, h(t) = Z0 + trend + sum f H cos(V + u - G), with node factors
by the same practice, solved through normal equations; uneven steps and gaps need nothing special. Outliers
are down-weighted by default (Tukey's bisquare). The 95 %
intervals come from the residual's own spectrum, band by band.
Source: Schureman, US Coast and Geodetic Survey Special Publication 98, p. 8.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.catalogue.constituents import Constituent, find
from harmonics.errors import EbblightError
from harmonics.fitting.design import Design, Progress, make_design
from harmonics.fitting.least_squares import Solution, covariance_of, solve
from harmonics.fitting.residuals import (
    Band,
    band_deviations,
    spectrum,
    two_sided_95,
)
from harmonics.fitting.selection import Inference, LeftOut, Selection, select
from harmonics.fitting.weather import SlowLine, slow_lines
from harmonics.sums.waves import HarmonicConstants, NodePractice
from harmonics.units import DAY

SHORTEST_DAYS = 7.0
"""Below a week the spring-neap and tropic-equatorial halves can't be told apart even with inference."""
TRUSTED_SNR = 2.0
"""A line whose amplitude exceeds its 95 % half-width by sqrt(2) is trusted (common practice)."""
WEATHERLESS_SNR = 1000.0
"""What stands out so far has no weather beside it: the levels were predicted, not observed."""


@dataclass(frozen=True, slots=True)
class Line:
    """One constituent found.

    Attributes:
        constituent: its row.
        amplitude: H, metres.
        phase_lag: G, Greenwich, degrees in [0, 360).
        amplitude_error, phase_error: half-widths of the 95 % intervals, metres and degrees (at most 180).
        snr: (amplitude over its half-width) squared.
        inference: how it was inferred, None where it was fitted.
        weather: of a slow line, the weather around it; None for the others.
    """

    constituent: Constituent
    amplitude: float
    phase_lag: float
    amplitude_error: float
    phase_error: float
    snr: float
    inference: Inference | None = None
    weather: SlowLine | None = None

    @property
    def name(self) -> str:
        """Canonical name."""
        return self.constituent.name

    @property
    def trusted(self) -> bool:
        """Whether it stands clear of the noise and, if it is slow, of the weather."""
        clear = self.weather is None or self.weather.clear or self.snr >= WEATHERLESS_SNR
        return self.snr >= TRUSTED_SNR and clear


@dataclass(frozen=True, eq=False)
class Analysis:
    """What a record gives.

    Attributes:
        lines: fitted and inferred constituents, in order of speed.
        mean: Z0, mean level above the record's zero at mid-record, metres.
        mean_error: half-width of its 95 % interval, metres.
        trend, trend_error: metres a second and 95 % half-width; None where no trend was fitted.
        t: times of the readings used, POSIX seconds, shape (n,).
        level: the readings, metres, shape (n,).
        step: median step, seconds.
        missing: share of the steps between first and last reading that have none.
        practice: how node factors follow the years.
        robust: whether outliers were down-weighted.
        residual: level less fit at each reading, metres, shape (n,).
        weight: final weights, 0 to 1, shape (n,).
        deviation: standard deviation of the residual, metres.
        explained: share of the level's variance that the fit explains.
        bands: residual by band.
        left_out: what the record is too short or too coarse for.
    """

    lines: tuple[Line, ...]
    mean: float
    mean_error: float
    trend: float | None
    trend_error: float | None
    t: Array
    level: Array
    step: float
    missing: float
    practice: NodePractice
    robust: bool
    residual: Array
    weight: Array
    deviation: float
    explained: float
    bands: tuple[Band, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def days(self) -> float:
        """Length of the record."""
        return float(self.t[-1] - self.t[0] + self.step) / DAY

    @property
    def outliers(self) -> int:
        """Readings that got no weight at all."""
        return int((self.weight == 0).sum())

    def line(self, name: str) -> Line:
        """The constituent of that name.

        Raises:
            KeyError: the analysis has none.
        """
        wanted = find(name).name
        for line in self.lines:
            if line.name == wanted:
                return line
        raise KeyError(name)

    def constants(self, trusted_only: bool = False) -> HarmonicConstants:
        """Constants for prediction; those of the trusted lines alone if wanted."""
        lines = [line for line in self.lines if line.trusted or not trusted_only]
        return HarmonicConstants(
            tuple(line.constituent for line in lines),
            np.array([line.amplitude for line in lines]),
            np.array([line.phase_lag for line in lines]),
        )


def fit(
    t: ArrayLike,
    level: ArrayLike,
    *,
    names: Sequence[str] | None = None,
    practice: NodePractice = NodePractice.YEARLY,
    trend: bool = False,
    robust: bool = True,
    infer: bool = True,
    inferences: Iterable[Inference] = (),
    reference: HarmonicConstants | None = None,
    progress: Progress | None = None,
) -> Analysis:
    """Harmonic analysis of a record.

    Args:
        t: POSIX seconds (UTC), increasing, shape (n,); steps may be uneven and gaps may lie anywhere.
        level: metres above any fixed zero, shape (n,); nan is a gap.
        names: constituents to fit; those the record's length tells apart where not given.
        practice: node practice, the one the constants will be predicted with.
        trend: whether to fit a straight line through the years as well.
        robust: whether outliers are down-weighted.
        infer: whether close neighbours the record can't resolve are inferred.
        inferences: ratios and lags to use whatever the record's length.
        reference: constants of a near station, whose ratios and lags replace the equilibrium ones.
        progress: called with the share done, 0 to 1, now and then.

    Raises:
        ValueError: times that do not increase, or shapes that differ.
        EbblightError: too short a record or one of a single level, lines it can't separate, or an inference
            from a line not fitted.
        UnknownConstituentError: a name that nothing explains.
    """
    times, heights, step = _checked(t, level)
    selection = select(
        float(times[-1] - times[0]) + step,
        step,
        names=names,
        trend=trend,
        infer=infer,
        inferences=inferences,
        reference=reference,
    )
    design = make_design(times, selection, practice, trend)
    if len(times) < 2 * design.columns:
        raise EbblightError(
            f"{len(times)} readings are too few for {len(selection.fitted)} constituents; "
            f"at least {2 * design.columns} are needed"
        )
    solution = solve(design, heights, robust, progress or _silent)
    return _analysis(design, heights, selection, solution, robust)


def _silent(_share: float) -> None:
    pass


def _checked(t: ArrayLike, level: ArrayLike) -> tuple[Array, Array, float]:
    times, heights = np.asarray(t, dtype=float), np.asarray(level, dtype=float)
    if times.ndim != 1 or times.shape != heights.shape:
        raise ValueError(
            f"times and levels must be of one dimension and one length, not {times.shape} and {heights.shape}"
        )
    good = np.isfinite(heights)
    times, heights = times[good], heights[good]
    if not np.isfinite(times).all() or (len(times) > 1 and np.diff(times).min() <= 0):
        raise ValueError("times must be finite and increase")
    if len(heights) and heights.min() == heights.max():
        raise EbblightError(f"found one level alone, {heights[0]:.3f} m; expected a tide's")
    step = float(np.median(np.diff(times))) if len(times) > 1 else math.nan
    days = float(times[-1] - times[0] + step) / DAY if len(times) > 1 else 0.0
    if days < SHORTEST_DAYS:
        raise EbblightError(
            f"a record of {days:.1f} days is too short to analyse; at least {SHORTEST_DAYS:.0f} days are "
            "needed, 29 or more for the main constituents, a year for all"
        )
    return times, heights, step


def _analysis(
    design: Design, level: Array, selection: Selection, solution: Solution, robust: bool
) -> Analysis:
    covariance, freedom = covariance_of(design, solution)
    count = len(design.fitted)
    z = solution.coefficients[:count] + 1j * solution.coefficients[count : 2 * count]
    weather = slow_lines(design, z, solution.residual)
    lines = _lines(design, selection, solution.coefficients, covariance, two_sided_95(freedom), weather)
    slow = 2 * len(design.fitted)
    error = 1.96 * np.sqrt(np.diag(covariance)[slow:])
    span = float(design.t[-1] - design.t[0])
    deviation = float(solution.residual.std())
    spread = float(level.std())
    return Analysis(
        lines=lines,
        mean=float(solution.coefficients[slow]),
        mean_error=float(error[0]),
        trend=float(solution.coefficients[slow + 1]) / span if design.trend else None,
        trend_error=float(error[1]) / span if design.trend else None,
        t=design.t,
        level=level,
        step=design.step,
        missing=max(0.0, 1.0 - len(level) / (round(span / design.step) + 1)),
        practice=design.practice,
        robust=robust,
        residual=solution.residual,
        weight=solution.weight,
        deviation=deviation,
        explained=1.0 - (deviation / spread) ** 2 if spread > 0 else math.nan,
        bands=band_deviations(spectrum(design.t, solution.residual, design.step)),
        left_out=selection.left_out,
    )


def _lines(
    design: Design,
    selection: Selection,
    coefficients: Array,
    covariance: Array,
    quantile: Array,
    weather: Mapping[str, SlowLine],
) -> tuple[Line, ...]:
    count = len(design.fitted)
    z = coefficients[:count] + 1j * coefficients[count : 2 * count]
    amplitude = np.abs(z)
    out: dict[str, Line] = {}
    for i, row in enumerate(design.fitted):
        pair = covariance[np.ix_([i, count + i], [i, count + i])]
        along = np.array([z[i].real, z[i].imag]) / max(amplitude[i], 1e-300)
        across = np.array([-along[1], along[0]])
        half = float(quantile[i]) * math.sqrt(max(float(along @ pair @ along), 0.0))
        turn = float(quantile[i]) * math.sqrt(max(float(across @ pair @ across), 0.0))
        out[row.name] = Line(
            row,
            float(amplitude[i]),
            float(-np.degrees(np.angle(z[i])) % 360.0),
            half,
            _phase_error(turn, float(amplitude[i])),
            (float(amplitude[i]) / half) ** 2 if half > 0 else math.inf,
            weather=weather.get(row.name),
        )
    for item in selection.inferred:
        of = out[item.reference]
        out[item.name] = Line(
            find(item.name),
            of.amplitude * item.ratio,
            (of.phase_lag + item.lag) % 360.0,
            of.amplitude_error * item.ratio,
            of.phase_error,
            of.snr,
            item,
            of.weather,
        )
    return tuple(sorted(out.values(), key=lambda line: line.constituent.speed))


def _phase_error(across: float, amplitude: float) -> float:
    """Half-width in degrees of a phase whose vector is uncertain by `across` sideways; 180 is no phase."""
    return math.degrees(math.asin(across / amplitude)) if across < amplitude else 180.0
