"""What an analysis of levels or of a current says, in plain words and in the reader's unit."""

import math
from datetime import UTC, datetime
from typing import NamedTuple

from harmonics.catalogue.equilibrium import COEFFICIENTS
from harmonics.fitting.analysis import TRUSTED_SNR, Analysis, Line
from harmonics.fitting.currents import CurrentAnalysis
from harmonics.fitting.selection import LeftOut
from harmonics.fitting.suspicions import Finding, Suspicion
from harmonics.units import METRES_PER_SECOND_PER_KNOT, LengthUnit

WORTH_NAMING = 0.01
"""Lines left out are named down to this equilibrium coefficient, 1 % of the lunar tide's."""
EXPLAINED_WELL = 0.9
LEFT_OUT = "What the record is too short or too coarse for"
FINDINGS = "What looks wrong in the record"


class LineRow(NamedTuple):
    """One constituent as printed.

    Attributes:
        name: canonical name.
        amplitude, amplitude_error: in the report's unit; the error is the 95 % half-width.
        phase, phase_error: Greenwich lag, degrees.
        snr: signal to noise.
        note: "", "weak", "weather", or how it was inferred.
    """

    name: str
    amplitude: float
    amplitude_error: float
    phase: float
    phase_error: float
    snr: float
    note: str


class ReportUnit(NamedTuple):
    """What a report counts in: metres (or m/s) in one of it, and its symbol."""

    si: float
    symbol: str


KNOTS = ReportUnit(METRES_PER_SECOND_PER_KNOT, "kn")


class AnalysisReport(NamedTuple):
    """An analysis made ready to print.

    Attributes:
        unit: of every height or speed in it.
        summary: sentences on the record and the fit.
        lines: constituents, largest first.
        left_out: sentences on what the record is too short for.
        findings: sentences on suspicious data, in order of time.
    """

    unit: ReportUnit
    summary: tuple[str, ...]
    lines: tuple[LineRow, ...]
    left_out: tuple[str, ...]
    findings: tuple[str, ...]


def report(
    analysis: Analysis, findings: tuple[Finding, ...], unit: LengthUnit = LengthUnit.METRES
) -> AnalysisReport:
    """Everything worth saying about an analysis; heights in `unit`, times in UTC."""
    heights = ReportUnit(unit.metres, unit.symbol)
    found = tuple(finding_text(item, unit) for item in findings)
    summary = (*_record(analysis), *_fit(analysis, heights), *_mean(analysis, heights), *_trust(analysis))
    return _report(analysis, heights, summary, found)


def current_reports(current: CurrentAnalysis) -> tuple[AnalysisReport, ...]:
    """Everything worth saying about an analysis of a current, axis by axis, in knots."""
    axes = [("Along", current.axis_direction, current.along)]
    if current.across is not None:
        axes.append(("Across", current.across_direction, current.across))
    reports = []
    for name, direction, analysis in axes:
        share = current.share if analysis is current.along else 1.0 - current.share
        head = (
            f"{name} the axis, {direction:.1f} degrees true: {100 * share:.1f} % of the current's variance.",
            *(_record(analysis) if analysis is current.along else ()),
            *_fit(analysis, KNOTS),
            f"Mean flow {_size(analysis.mean, KNOTS)} (95 %: +/- {_size(analysis.mean_error, KNOTS)}).",
            *_trust(analysis),
        )
        reports.append(_report(analysis, KNOTS, head, ()))
    return tuple(reports)


def _report(
    analysis: Analysis, unit: ReportUnit, summary: tuple[str, ...], findings: tuple[str, ...]
) -> AnalysisReport:
    lines = sorted(analysis.lines, key=lambda line: -line.amplitude)
    left_out = tuple(
        _left_out(item) for item in analysis.left_out if COEFFICIENTS.get(item.name, 0) >= WORTH_NAMING
    )
    return AnalysisReport(unit, summary, tuple(_row(line, unit) for line in lines), left_out, findings)


def _utc(t: float) -> str:
    return f"{datetime.fromtimestamp(round(t), UTC):%Y-%m-%d %H:%M}"


def _size(si: float, unit: ReportUnit) -> str:
    return f"{si / unit.si:.3f} {unit.symbol}"


def _record(analysis: Analysis) -> tuple[str, ...]:
    first = (
        f"{len(analysis.t)} readings from {_utc(analysis.t[0])} to {_utc(analysis.t[-1])} UTC: "
        f"{analysis.days:.1f} days, one every {analysis.step / 60:g} minutes"
    )
    return (
        f"{first}, {100 * analysis.missing:.0f} % missing." if analysis.missing >= 0.005 else f"{first}.",
    )


def _fit(analysis: Analysis, unit: ReportUnit) -> tuple[str, ...]:
    fitted = sum(line.inference is None for line in analysis.lines)
    sentences = [
        f"{fitted} constituents fitted, {len(analysis.lines) - fitted} inferred; they explain "
        f"{100 * analysis.explained:.1f} % of the variance and leave a standard deviation of "
        f"{_size(analysis.deviation, unit)}.",
        "Left over by band: "
        + "; ".join(f"{band.name} {_size(band.deviation, unit)}" for band in analysis.bands)
        + ".",
    ]
    if analysis.robust and analysis.outliers:
        sentences.append(f"{analysis.outliers} readings lie so far off that they count for nothing.")
    if analysis.explained < EXPLAINED_WELL:
        sentences.append(
            "Weather and other movements make up much of this record: predictions will often miss by more "
            "than the tide's own errors."
        )
    return tuple(sentences)


def _mean(analysis: Analysis, unit: ReportUnit) -> tuple[str, ...]:
    told = [
        f"Mean level {_size(analysis.mean, unit)} above the record's zero "
        f"(95 %: +/- {_size(analysis.mean_error, unit)})."
    ]
    if analysis.trend is not None and analysis.trend_error is not None:
        year = 365.25 * 86400.0
        told.append(
            f"Trend {_size(analysis.trend * year, unit)} a year "
            f"(95 %: +/- {_size(analysis.trend_error * year, unit)})."
        )
    return tuple(told)


def _trust(analysis: Analysis) -> tuple[str, ...]:
    order = sorted(analysis.lines, key=lambda line: -line.amplitude)
    good = [line.name for line in order if line.trusted and line.inference is None]
    doubtful = [line for line in order if not line.trusted and line.inference is None]
    weak = [line.name for line in doubtful if line.snr < TRUSTED_SNR]
    weather = [line for line in doubtful if line.snr >= TRUSTED_SNR]
    inferred = [line for line in order if line.inference is not None]
    sentences = [f"To trust: {', '.join(good)}." if good else "No constituent stands clear of the noise."]
    if weak:
        sentences.append(f"Not clear of the noise: {', '.join(weak)}.")
    if weather:
        sentences.append(f"Not told from weather: {'; '.join(map(_weather, weather))}.")
    if inferred:
        told = ", ".join(_inference(line) for line in inferred)
        sentences.append(f"Inferred, not observed: {told}.")
    return tuple(sentences)


def _weather(line: Line) -> str:
    """Why a slow line that stands out of the noise is not trusted."""
    if line.weather is None:
        return line.name
    chance = f"{max(100 * line.weather.chance, 0.1):.2g}"
    return (
        f"{line.name} ({line.weather.cycles:.1f} cycles in the record; weather alone makes as much of it in "
        f"{chance} of 100 such records)"
    )


def _inference(line: Line) -> str:
    item = line.inference
    if item is None:
        return line.name
    lag = f", lag {item.lag:+.1f} deg" if item.lag else ""
    return f"{item.name} from {item.reference} (ratio {item.ratio:.3f}{lag}, {item.source})"


def _row(line: Line, unit: ReportUnit) -> LineRow:
    if line.inference is not None:
        note = f"inferred from {line.inference.reference} ({line.inference.source})"
    else:
        note = "" if line.trusted else "weak" if line.snr < TRUSTED_SNR else "weather"
    scale = 1.0 / unit.si
    return LineRow(
        line.name,
        line.amplitude * scale,
        line.amplitude_error * scale,
        line.phase_lag,
        line.phase_error,
        line.snr,
        note,
    )


def _left_out(item: LeftOut) -> str:
    if math.isnan(item.days):
        return f"{item.name}: the readings are too far apart."
    apart = f"apart from {item.neighbour}" if item.neighbour else "at all"
    return f"{item.name}: {math.ceil(item.days)} days are needed to find it {apart}."


def finding_text(item: Finding, unit: LengthUnit) -> str:
    """A suspicious stretch in words."""
    when = _utc(item.start) if item.end == item.start else f"{_utc(item.start)} to {_utc(item.end)}"
    if item.kind is Suspicion.SPIKE:
        return f"{when} UTC: spike, {item.size / unit.metres:+.2f} {unit.symbol} off its neighbours."
    if item.kind is Suspicion.STUCK:
        return (
            f"{when} UTC: stuck gauge, one reading repeated while the tide moved by "
            f"{item.size / unit.metres:.2f} {unit.symbol}."
        )
    if item.kind is Suspicion.DATUM:
        side = "above" if item.size > 0 else "below"
        height = f"{abs(item.size) / unit.metres:.2f} {unit.symbol}"
        return f"{when} UTC: shifted datum, about {height} {side} the longest stretch of the record."
    side = "ahead of" if item.size > 0 else "behind"
    minutes = round(abs(item.size) / 300) * 5
    return f"{when} UTC: shifted clock, about {minutes} minutes {side} the longest stretch of the record."
