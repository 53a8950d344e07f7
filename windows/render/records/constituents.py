"""A constituent table as the CSV that a station file can name, and as records."""

from typing import TYPE_CHECKING

from harmonics.files.current_text import speed_csv
from harmonics.files.published.results import ImportedCurrent
from harmonics.files.station_text import constituent_csv
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import LengthUnit
from windows.render.records.results import Result

if TYPE_CHECKING:
    import pandas as pd


def constituents_result(constants: HarmonicConstants, unit: LengthUnit, comments: tuple[str, ...]) -> Result:
    """Constants in every form.

    Args:
        constants: amplitudes in metres, Greenwich lags.
        unit: of the amplitudes in the CSV; records are in metres.
        comments: where they come from and what was assumed.
    """
    return Result(
        lambda: constituent_csv(constants, unit, comments),
        lambda: constituents_frame(constants),
        lambda: {"notes": list(comments), "phase": "greenwich"},
    )


def constituents_frame(constants: HarmonicConstants) -> "pd.DataFrame":
    """A row a constituent: name, amplitude_m, phase_deg (Greenwich lag)."""
    import pandas as pd

    return pd.DataFrame(
        {
            "name": [row.name for row in constants.constituents],
            "amplitude_m": constants.amplitude,
            "phase_deg": constants.phase_lag % 360.0,
        }
    )


def currents_result(current: ImportedCurrent, comments: tuple[str, ...]) -> Result:
    """A current's constants in every form: the CSV holds the first axis, records hold both.

    Args:
        current: amplitudes in m/s, Greenwich lags.
        comments: where they come from and what was assumed.
    """
    return Result(
        lambda: speed_csv(current.along, comments),
        lambda: currents_frame(current),
        lambda: {
            "notes": list(comments),
            "phase": "greenwich",
            "axis_direction_deg": current.axis_direction,
            "across_direction_deg": current.across_direction,
            "flood_direction_deg": current.flood_direction,
            "ebb_direction_deg": current.ebb_direction,
            "mean_along_m_s": current.mean_along,
            "mean_across_m_s": current.mean_across,
        },
    )


def currents_frame(current: ImportedCurrent) -> "pd.DataFrame":
    """A row a constituent and axis: axis, name, amplitude_m_s, phase_deg (Greenwich lag)."""
    import pandas as pd

    axes = (("along", current.along), ("across", current.across))
    return pd.concat(
        [
            constituents_frame(constants)
            .rename(columns={"amplitude_m": "amplitude_m_s"})
            .assign(axis=axis)[["axis", "name", "amplitude_m_s", "phase_deg"]]
            for axis, constants in axes
            if constants is not None
        ],
        ignore_index=True,
    )
