"""An analysis, or a station's datums, as text and as records."""

import math
from typing import TYPE_CHECKING, Any

from harmonics.fitting.analysis import Analysis
from harmonics.records.reader import LevelRecord
from harmonics.stations.datums import Datums, TideCharacter
from harmonics.units import LengthUnit
from windows.render.records.results import Result
from windows.render.text.layout import Column, paragraph, table
from windows.render.words import cautions
from windows.render.words.analysis import FINDINGS, LEFT_OUT, AnalysisReport

if TYPE_CHECKING:
    import pandas as pd

YEAR = 365.25 * 86400.0
"""Seconds of the year that a trend is given by."""
_DATUM_NAMES = {
    "hat": "HAT, highest astronomical tide",
    "mhhw": "MHHW, mean higher high water",
    "mhw": "MHW, mean high water",
    "mtl": "MTL, mean tide level",
    "dtl": "DTL, diurnal tide level",
    "msl": "MSL, mean sea level",
    "mlw": "MLW, mean low water",
    "mllw": "MLLW, mean lower low water",
    "lat": "LAT, lowest astronomical tide",
}


def analysis_result(record: LevelRecord, analysis: Analysis, report: AnalysisReport, width: int) -> Result:
    """An analysis in every form: report, lines as a frame, and the JSON header."""
    return Result(
        lambda: _report_text(record, report, width),
        lambda: lines_frame(analysis),
        lambda: {
            "record": record.path,
            "clock": record.clock,
            "unit_of_record": record.unit,
            "notes": list(record.notes),
            "summary": list(report.summary),
            "left_out": list(report.left_out),
            "findings": list(report.findings),
            "mean_m": analysis.mean,
            "trend_m_per_year": None if analysis.trend is None else analysis.trend * YEAR,
            "residual_m": analysis.deviation,
            "explained": analysis.explained if math.isfinite(analysis.explained) else None,
            "cautions": list(cautions.FULL),
        },
    )


def lines_frame(analysis: Analysis) -> "pd.DataFrame":
    """Constituents with 95 % half-widths: name, amplitude_m, phase_deg, snr, inferred, trusted."""
    import pandas as pd

    return pd.DataFrame(
        {
            "name": [line.name for line in analysis.lines],
            "amplitude_m": [line.amplitude for line in analysis.lines],
            "amplitude_error_m": [line.amplitude_error for line in analysis.lines],
            "phase_deg": [line.phase_lag for line in analysis.lines],
            "phase_error_deg": [line.phase_error for line in analysis.lines],
            "snr": [line.snr for line in analysis.lines],
            "inferred": [line.inference is not None for line in analysis.lines],
            "trusted": [line.trusted for line in analysis.lines],
        }
    )


def _report_text(record: LevelRecord, report: AnalysisReport, width: int) -> str:
    clock = f"Clock {record.clock}; levels in {record.unit}."
    head = [f"{record.path}", clock, *record.notes, *report.summary]
    parts = ["\n".join(paragraph(text, width) for text in head), lines_table(report, width)]
    parts += listed(LEFT_OUT, report.left_out, width)
    parts += listed(FINDINGS, report.findings, width)
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"


def listed(title: str, sentences: tuple[str, ...], width: int) -> list[str]:
    """Sentences under a title, or nothing."""
    lines = [paragraph(text, width, indent=2, hanging=2) for text in sentences]
    return ["\n".join([title, *lines])] if lines else []


def lines_table(report: AnalysisReport, width: int) -> str:
    """The constituents of an analysis."""
    symbol = report.unit.symbol
    columns = [
        Column("Constituent"),
        Column(f"Amplitude ({symbol})", right=True),
        Column("95 %", right=True),
        Column("Lag (deg)", right=True),
        Column("95 %", right=True),
        Column("Signal to noise", right=True),
        Column("Note", fold=True),
    ]
    rows = [
        [
            line.name,
            f"{line.amplitude:.4f}",
            f"{line.amplitude_error:.4f}",
            f"{line.phase:.1f}",
            f"{line.phase_error:.1f}",
            _ratio(line.snr),
            line.note,
        ]
        for line in report.lines
    ]
    return table(columns, rows, width)


def _ratio(snr: float) -> str:
    if math.isnan(snr):
        return "-"
    return f"{snr:.1f}" if snr < 100 else f"{min(snr, 1e6):.0f}"


def datums_frame(station: str, found: Datums) -> "pd.DataFrame":
    """Datums: station, datum, height_m above the station's own datum."""
    import pandas as pd

    return pd.DataFrame(
        {
            "station": station,
            "datum": [name.upper() for name in _DATUM_NAMES],
            "height_m": [found.named(name) for name in _DATUM_NAMES],
        }
    )


def datums_text(
    head: str, found: Datums, character: TideCharacter, epoch: str, unit: LengthUnit, width: int
) -> str:
    """Datums above the station's own, ranges, and what makes the tide large and small."""
    symbol = unit.symbol

    def height(metres: float) -> str:
        return "-" if math.isnan(metres) else f"{metres / unit.metres:.3f}"

    rows = [[text, height(found.named(name))] for name, text in _DATUM_NAMES.items()]
    rows += [
        ["mean range, MHW - MLW", height(found.mean_range)],
        ["great diurnal range, MHHW - MLLW", height(found.great_diurnal_range)],
    ]
    if character.by_declination:
        rows += [
            ["tropic range, 2 (K1 + O1)", height(character.tropic_range)],
            ["equatorial range, 2 (K1 - O1)", height(character.equatorial_range)],
        ]
    else:
        rows += [
            ["spring range, 2 (M2 + S2)", height(character.spring_range)],
            ["neap range, 2 (M2 - S2)", height(character.neap_range)],
        ]
    lines = [_kind(character)]
    for name, seconds in (
        ("spring tide after new and full moon", character.phase_age),
        ("tropic tide after the moon's greatest declination", character.diurnal_age),
        ("perigean tide after perigee", character.parallax_age),
    ):
        if not math.isnan(seconds):
            lines.append(f"Age: {name} by {seconds / 3600:+.0f} h.")
    note = (
        f"From predictions of {epoch}. Published datums average observed high and low waters, which weather "
        "spreads: their MHHW lies a little higher and their MLLW a little lower."
    )
    columns = [Column("Datum or range", fold=True), Column(f"Height ({symbol})", right=True)]
    parts = [head, table(columns, rows, width), "\n".join(lines), paragraph(note, width), cautions.SHORT]
    return "\n\n".join(parts) + "\n"


def _kind(character: TideCharacter) -> str:
    if character.regime is None:
        return "Tide: of no kind that M2, S2, K1 and O1 show."
    if math.isinf(character.form_number):
        return f"Tide: {character.regime.value}, with neither M2 nor S2."
    return f"Tide: {character.regime.value}, form number {character.form_number:.2f}."


def datums_header(found: Datums, character: TideCharacter, epoch: str) -> dict[str, Any]:
    """Ranges and ages for the JSON header."""

    def known(value: float) -> float | None:
        return value if math.isfinite(value) else None

    return {
        "epoch": epoch,
        "mean_range_m": known(found.mean_range),
        "great_diurnal_range_m": known(found.great_diurnal_range),
        "form_number": known(character.form_number),
        "regime": None if character.regime is None else character.regime.value,
        "spring_range_m": known(character.spring_range),
        "neap_range_m": known(character.neap_range),
        "tropic_range_m": known(character.tropic_range),
        "equatorial_range_m": known(character.equatorial_range),
        "phase_age_h": known(character.phase_age / 3600),
        "diurnal_age_h": known(character.diurnal_age / 3600),
        "parallax_age_h": known(character.parallax_age / 3600),
    }
