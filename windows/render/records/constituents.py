"""A constituent table as the CSV that a station file can name, and as records."""

from typing import TYPE_CHECKING

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
