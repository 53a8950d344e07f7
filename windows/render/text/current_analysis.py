"""An analysis of a current as text and as records."""

import math
from typing import TYPE_CHECKING

from harmonics.fitting.currents import CurrentAnalysis
from harmonics.records.current_reader import CurrentRecord
from windows.render.records.results import Result
from windows.render.text.analysis import lines_frame, lines_table, listed
from windows.render.text.layout import paragraph
from windows.render.words import cautions
from windows.render.words.analysis import LEFT_OUT, current_reports

if TYPE_CHECKING:
    import pandas as pd


def current_analysis_result(record: CurrentRecord, analysis: CurrentAnalysis, width: int) -> Result:
    """An analysis of a current in every form: report, lines of both axes as a frame, and the JSON header."""
    across = analysis.across
    return Result(
        lambda: _text(record, analysis, width),
        lambda: current_lines_frame(analysis),
        lambda: {
            "record": record.path,
            "clock": record.clock,
            "unit_of_record": record.unit,
            "notes": list(record.notes),
            "axis_direction_deg": analysis.axis_direction,
            "across_direction_deg": analysis.across_direction,
            "share_along": analysis.share,
            "mean_along_m_s": analysis.along.mean,
            "mean_across_m_s": None if across is None else across.mean,
            "explained_along": analysis.along.explained if math.isfinite(analysis.along.explained) else None,
            "cautions": list(cautions.FULL),
        },
    )


def current_lines_frame(analysis: CurrentAnalysis) -> "pd.DataFrame":
    """Constituents of both axes: axis, name, amplitude_m_s, amplitude_error_m_s, phase_deg ..."""
    import pandas as pd

    axes = (("along", analysis.along), ("across", analysis.across))
    frames = [
        lines_frame(found)
        .rename(columns={"amplitude_m": "amplitude_m_s", "amplitude_error_m": "amplitude_error_m_s"})
        .assign(axis=axis)
        for axis, found in axes
        if found is not None
    ]
    whole = pd.concat(frames, ignore_index=True)
    return whole[["axis", *(name for name in whole.columns if name != "axis")]]


def _text(record: CurrentRecord, analysis: CurrentAnalysis, width: int) -> str:
    head = [record.path, f"Clock {record.clock}; speeds in {record.unit}.", *record.notes]
    parts = ["\n".join(paragraph(text, width) for text in head)]
    for report in current_reports(analysis):
        parts += ["\n".join(paragraph(text, width) for text in report.summary), lines_table(report, width)]
    parts += listed(LEFT_OUT, current_reports(analysis)[0].left_out, width)
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"
