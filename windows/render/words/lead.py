"""Lead that holds bottom, in the reader's weights: grams beside metres, ounces beside feet."""

from collections.abc import Sequence

from harmonics.units import KILOGRAMS_PER_OUNCE, LengthUnit
from windows.forecast.reports import SessionReport
from windows.render.words.phrases import Words

Range = tuple[float, float]
"""Kilograms: that may hold, and that should."""


def lead_words(report: SessionReport, words: Words) -> list[str]:
    """Sentences on the lead of a session, where the file lets it be known."""
    lines: list[str] = []
    tackle = report.spot.preferences.tackle
    leads = [item.lead for item in (report.start, report.peak, report.end)]
    if any(leads):
        rig = f"{tackle.sinker.value} sinker on {tackle.line_diameter * 1000:.2f} mm line"
        weights = weights_of(leads, words.units)
        lines.append(f"Lead to hold bottom at start, peak and end, {rig}, a starting point: {weights}.")
    if report.lead_slips is not None and tackle.heaviest_lead is not None:
        when = words.day_clock(report.lead_slips, report.day)
        lines.append(
            f"The {_weight(tackle.heaviest_lead, words.units)} you carry may no longer hold from {when}."
        )
    return lines


def weights_of(leads: Sequence[Range | None], units: LengthUnit) -> str:
    """As dry, 12-20, 40-66 g; beside feet in ounces first."""
    grams = _ranges(leads, LengthUnit.METRES)
    return f"{_ranges(leads, LengthUnit.FEET)} ({grams})" if units is LengthUnit.FEET else grams


def _weight(kilograms: float, units: LengthUnit) -> str:
    """As 170 g or 6 oz."""
    if units is LengthUnit.METRES:
        return f"{kilograms * 1000:.0f} g"
    return f"{kilograms / KILOGRAMS_PER_OUNCE:.1f}".removesuffix(".0") + " oz"


def _ranges(leads: Sequence[Range | None], units: LengthUnit) -> str:
    """As dry, 12-20, 40-66 g."""
    unit = "g" if units is LengthUnit.METRES else "oz"
    return f"{', '.join('dry' if lead is None else _range(lead, units) for lead in leads)} {unit}"


def _range(lead: Range, units: LengthUnit) -> str:
    """As 1.2-2.0, or "less than 0.1" where no lead is needed."""
    places, scale = (0, 1e-3) if units is LengthUnit.METRES else (1, KILOGRAMS_PER_OUNCE)
    least, most = (f"{side / scale:.{places}f}" for side in lead)
    if float(most) == 0.0:
        return f"less than {10.0**-places:g}"
    return most if least == most else f"{least}-{most}"
