"""How much lead holds bottom: a starting point from line drag, sinker drag and a guessed grip.

Half of the drag spread over the line reaches the lead:
H = 1/2 rho Cd d L U^2 x (1/2) / (1 + 2/7) + sinker drag + bait drag, the latter two at 0.65 U near the
bottom; the lead holds where grip x (W' - lift) >= 1.5 H, lift a quarter of the whole line drag. The 2/7 is
the mean square of a seventh-root profile. Grip is an engineering guess, for no measurement was found: so the
answer is a range. A line cast across the flow is longer than the depth: give that length as the depth.

Kilograms, metres, seconds inside.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.sums.search import linear_crossings
from windows.shoreline.tackle import SinkerKind

SEA_WATER = 1025.0
LEAD = 11340.0
GRAVITY = 9.81

LINE_DRAG = 1.2
"""Drag coefficient of a line across the flow at Reynolds numbers of 80 to 500 (from memory)."""
SINKER_DRAG = 0.8
BAIT_DRAG = 1.0
BAIT_AREA = 6e-4
"""Square metres, of one bait (common practice)."""
BOTTOM_SHARE = 0.65
"""Speed near the bottom over the speed of the stream (common practice)."""
PROFILE = 1.0 + 2.0 / 7.0
LIFT_SHARE = 0.25
MARGIN = 1.5
"""The grip must exceed the pull by half (common practice)."""


class LeadRange(NamedTuple):
    """Lead that may hold and lead that should, kilograms: arrays shaped as the speeds and depths.

    Attributes:
        least: where the sinker grips as well as its kind may.
        most: where it grips as poorly.
    """

    least: Array
    most: Array


def lead_to_hold(
    speed: ArrayLike, depth: ArrayLike, line_diameter: ArrayLike, sinker: SinkerKind
) -> LeadRange:
    """Lead that holds bottom.

    Args:
        speed: of the stream past the spot, metres a second, either sign.
        depth: wetted length of line, metres; the depth where the line hangs straight.
        line_diameter: metres; braid of 20 lb is about 0.00023, monofilament 0.0004.
        sinker: its kind.

    Raises:
        ValueError: a depth or diameter is negative, or a value is not finite.
    """
    return LeadRange(
        least=lead_for_grip(speed, depth, line_diameter, sinker.best),
        most=lead_for_grip(speed, depth, line_diameter, sinker.poorest),
    )


def lead_for_grip(speed: ArrayLike, depth: ArrayLike, line_diameter: ArrayLike, grip: float) -> Array:
    """Lead (kilograms) that holds with one grip, the ratio of pull to weight at which a sinker slides.

    With x the cube root of the mass it solves a x^3 - b x^2 - c = 0, which has one positive root; Newton
    falls to it from b / a + (c / a)^(1/3), which lies above.
    """
    square = _finite("speed", speed) ** 2
    line, fixed = _loads(depth, line_diameter, grip)
    weight = grip * _weight_in_water(1.0)
    ratio, rest = MARGIN * _sinker_load() * square / weight, (line + fixed) * square / weight
    x = ratio + np.cbrt(rest)
    for _ in range(12):
        slope = x * (3.0 * x - 2.0 * ratio)
        x = x - np.divide(x * x * (x - ratio) - rest, slope, out=np.zeros_like(x), where=slope > 0)
    return np.asarray(x**3)


def holding_speed(lead: ArrayLike, depth: ArrayLike, line_diameter: ArrayLike, grip: float) -> Array:
    """Speed (metres a second) up to which a lead of so many kilograms holds with one grip.

    Raises:
        ValueError: a lead, depth or diameter is negative, or a value is not finite.
    """
    mass = _finite("lead", lead, least=0.0)
    line, fixed = _loads(depth, line_diameter, grip)
    load = line + fixed + MARGIN * _sinker_load() * np.cbrt(mass) ** 2
    return np.asarray(np.sqrt(grip * _weight_in_water(mass) / load))


def slip_time(t: Array, speed: Array, limit: ArrayLike) -> float | None:
    """When a stream first passes the speed up to which the lead holds; None where it never does.

    Args:
        t: rising times, shape (n,).
        speed: at those times, either sign.
        limit: that speed, one for all or one a time as the depth changes.
    """
    excess = np.abs(speed) - np.broadcast_to(np.asarray(limit, dtype=float), np.shape(speed))
    over = np.flatnonzero(excess > 0)
    if not over.size:
        return None
    i = int(over[0])
    if i == 0:
        return float(t[0])
    return float(linear_crossings(t, excess, np.array([i - 1]))[0])


def _weight_in_water(mass: ArrayLike) -> Array:
    return np.asarray(mass, dtype=float) * GRAVITY * (1.0 - SEA_WATER / LEAD)


def _sinker_load() -> float:
    """Drag of a ball of lead a kilogram^(2/3) and (m/s)^2 of the stream, newtons."""
    radius = float(np.cbrt(3.0 / (4.0 * np.pi * LEAD)))
    return 0.5 * SEA_WATER * SINKER_DRAG * np.pi * radius**2 * BOTTOM_SHARE**2


def _loads(depth: ArrayLike, line_diameter: ArrayLike, grip: float) -> tuple[Array, float]:
    """Weight x grip that line and bait ask for, newtons a (m/s)^2 of the stream."""
    if not grip > 0.0:
        raise ValueError(f"grip must be above 0, not {grip:g}")
    length = _finite("depth", depth, least=0.0)
    diameter = _finite("line diameter", line_diameter, least=0.0)
    line = 0.5 * SEA_WATER * LINE_DRAG * diameter * length / PROFILE
    bait = 0.5 * SEA_WATER * BAIT_DRAG * BAIT_AREA * BOTTOM_SHARE**2
    return line * (0.5 * MARGIN + LIFT_SHARE * grip), MARGIN * bait


def _finite(name: str, values: ArrayLike, least: float = -np.inf) -> Array:
    array = np.asarray(values, dtype=float)
    if not (np.isfinite(array) & (array >= least)).all():
        expected = "finite" if least == -np.inf else f"finite and not below {least:g}"
        raise ValueError(f"{name} must be {expected}")
    return array
