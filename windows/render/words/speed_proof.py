"""What observed currents say of predicted ones, in sentences."""

import math

from harmonics.records.speeds import STILL, SpeedProof
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named


def speed_headline(proof: SpeedProof, words: Words) -> str:
    """As "Of 700 readings from Mon 3 Aug 2026 to Mon 31 Aug 2026 at Race, 94 of 100 ran as predicted."."""
    first, last = (words.local(float(t)).date() for t in (proof.t[0], proof.t[-1]))
    period = f"from {words.day(first)} {first.year} to {words.day(last)} {last.year}"
    if math.isnan(proof.right):
        return f"{len(proof.t)} readings {period} at {named(proof.station.name)}: it was to stand still."
    return (
        f"Of {len(proof.t)} readings {period} at {named(proof.station.name)}, {100 * proof.right:.0f} of 100 "
        f"ran as predicted, flood or ebb, where {_knots(STILL)} kn or more were."
    )


def speed_lines(proof: SpeedProof) -> list[str]:
    """Strength, what is left, slacks."""
    lines = [f"Along the flood direction the current ran {proof.strength:.2f} times as strong as predicted."]
    if math.isnan(proof.strength):
        lines = []
    lines += [
        f"Observed less predicted: {_knots(proof.mean)} kn on average (flood positive), standard deviation "
        f"{_knots(proof.deviation)} kn beside the current's own {_knots(proof.drift)} kn.",
    ]
    if proof.slacks:
        late = "late" if proof.late >= 0 else "early"
        lines.append(
            f"Slacks came {abs(proof.late) / 60:.0f} min {late} on average, with a standard deviation of "
            f"{proof.late_spread / 60:.0f} min; {proof.missing} of {proof.slacks + proof.missing} did not "
            "show within two hours."
        )
    return lines


def _knots(speed: float) -> str:
    return f"{speed / METRES_PER_SECOND_PER_KNOT:.1f}"
