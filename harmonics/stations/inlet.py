"""Flow through the opening of a basin: by continuity alone, and with friction after Keulegan.

Source: G. H. Keulegan, Tidal Flow in Entrances: Water-Level Fluctuations of Basins in Communication with
Seas (US Army Corps of Engineers, Committee on Tidal Hydraulics, Technical Bulletin 14, 1967); the loss terms
as the Shore Protection Manual (1984), section 4-VI, has them (both from memory). The basin's level is even
and its walls upright, no river runs in, and the water in the throat has no inertia.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from harmonics.arrays import Array
from harmonics.sums.search import linear_crossings, sign_changes

GRAVITY = 9.81

STRETCH = 512
"""A long series is cut into stretches of about this many steps that are solved side by side; each takes its
start from the end of the one before, again and again until nothing changes, because a bay forgets."""
SETTLED = 1e-7
"""Metres: the starts of stretches agree."""
SPLIT = 2.0 - float(np.sqrt(2.0))
"""Where the second stage of a step starts, as a share of it: both stages then weigh the end alike."""
WEIGHT = 1.0 / (SPLIT * (2.0 - SPLIT))
"""What the value at the split counts for in the second stage; the start of the step counts for the rest."""


@dataclass(frozen=True, slots=True)
class Inlet:
    """A basin joined to the sea by an opening.

    Attributes:
        basin_area: of the water surface, square metres.
        opening_area: least cross-section of the opening, square metres.
        losses: velocity heads lost on the way: entrance + exit + f length / (4 hydraulic radius).

    Raises:
        ValueError: a value is not above zero.
    """

    basin_area: float
    opening_area: float
    losses: float

    def __post_init__(self) -> None:
        for name in ("basin_area", "opening_area", "losses"):
            if not getattr(self, name) > 0.0:
                raise ValueError(f"{name} must be above 0, not {getattr(self, name):g}")

    @property
    def conveyance(self) -> float:
        """Rise of the basin (m/s) for a level difference of one metre; it grows as the root."""
        return float(self.opening_area / self.basin_area * np.sqrt(2.0 * GRAVITY / self.losses))

    def repletion(self, amplitude: float, period: float) -> float:
        """Keulegan's coefficient K at a sea tide of that amplitude (metres) and period (seconds)."""
        return float(self.conveyance * period / (2.0 * np.pi * np.sqrt(amplitude)))


def friction_losses(
    length: float, hydraulic_radius: float, friction: float, entrance: float = 0.2, exit_loss: float = 1.0
) -> float:
    """Velocity heads lost in a throat.

    Args:
        length, hydraulic_radius: of the throat, metres.
        friction: Darcy and Weisbach's f, about 0.03 in sandy inlets (from memory).
        entrance, exit_loss: about 0.05 to 0.25 and 1 (from memory).
    """
    return entrance + exit_loss + friction * length / (4.0 * hydraulic_radius)


def inlet_of_repletion(
    repletion: float, basin_area: float, opening_area: float, amplitude: float, period: float
) -> Inlet:
    """The inlet that has Keulegan's coefficient K at a sea tide of that amplitude (metres) and period (s).

    Raises:
        ValueError: a value is not above zero.
    """
    for name, value in (("repletion", repletion), ("amplitude", amplitude), ("period", period)):
        if not value > 0.0:
            raise ValueError(f"{name} must be above 0, not {value:g}")
    root = 2.0 * np.pi * np.sqrt(amplitude) * repletion / period * basin_area / opening_area
    return Inlet(basin_area, opening_area, float(2.0 * GRAVITY / root**2))


def continuity_speeds(rate: ArrayLike, basin_area: float, opening_area: float) -> Array:
    """Speed in the opening of a basin that follows the level outside, U = (A_basin / A_opening) x rate.

    Args:
        rate: rise of the level, metres a second.
        basin_area, opening_area: square metres.

    Returns:
        Metres a second, flood (into the basin) positive; shaped as rate.
    """
    return np.asarray(rate, dtype=float) * (basin_area / opening_area)


class InletSeries(NamedTuple):
    """What an inlet does at even steps: shape (m, n) for m inlets.

    Attributes:
        bay_level: metres, from the same zero as the sea's.
        speed: in the opening, metres a second, flood positive.
    """

    bay_level: Array
    speed: Array


def solve_inlets(inlets: tuple[Inlet, ...], sea: Array, step: float) -> InletSeries:
    """Bay levels and speeds through time, from the bay at rest with the sea at the first step.

    d bay / dt = c sign(D) sqrt|D| with D = sea - bay. Each step is one of the trapezoid rule and one of
    backward differences (TR-BDF2): of second order, and stable however stiff, since each stage is a
    quadratic in sqrt|D| with one root. Give the sea a few days before the times that matter: a bay that is
    nearly closed forgets its start slowly.

    Args:
        inlets: m of them.
        sea: level outside each at even steps, metres, shape (m, n) or (n,) for one sea.
        step: seconds.

    Raises:
        ValueError: the sea does not fit the inlets or is not finite, or the step is not positive.
    """
    level = np.asarray(sea, dtype=float)
    if level.ndim not in (1, 2) or (level.ndim == 2 and len(level) not in (1, len(inlets))):
        raise ValueError(f"one sea, or one for each of {len(inlets)} inlets, is needed, not {level.shape}")
    if not np.isfinite(level).all():
        raise ValueError("the sea's level must be finite throughout")
    if not step > 0:
        raise ValueError(f"the step must be positive, not {step}")
    level = np.broadcast_to(level, (len(inlets), level.shape[-1]))
    conveyance = np.array([inlet.conveyance for inlet in inlets])
    ahead = _ahead(conveyance, level, step)
    opening = np.array([inlet.basin_area / inlet.opening_area for inlet in inlets])
    speed = np.sign(ahead) * np.sqrt(np.abs(ahead)) * (conveyance * opening)[:, None]
    return InletSeries(level - ahead, speed)


def _ahead(conveyance: Array, sea: Array, step: float) -> Array:
    """How far the sea stands above each bay: shape (m, n), 0 at the first step."""
    inlets, count = sea.shape
    if count < 2:
        return np.zeros(sea.shape)
    stretches = -(-(count - 1) // STRETCH)
    length = -(-(count - 1) // stretches)
    first, second = (
        np.moveaxis(_padded(part, stretches * length).reshape(inlets, stretches, length), 2, 0)
        for part in _rises(sea)
    )
    pull = (conveyance * step)[:, None]
    begin = np.zeros((inlets, stretches))
    while True:
        ahead = _march(first, second, begin, pull)
        ends = np.concatenate([np.zeros((inlets, 1)), ahead[-1][:, :-1]], axis=1)
        if np.abs(ends - begin).max() <= SETTLED:
            break
        begin = ends
    joined = np.moveaxis(ahead, 0, 2).reshape(inlets, -1)[:, : count - 1]
    return np.concatenate([np.zeros((inlets, 1)), joined], axis=1)


def _padded(values: Array, count: int) -> Array:
    return np.pad(values, ((0, 0), (0, count - values.shape[1])))


def _rises(sea: Array) -> tuple[Array, Array]:
    """The sea's rise from the start of each step to its split, and what the second stage adds: (m, n - 1).

    The sea bends between its samples by the mean of the second differences at both ends.
    """
    rise = np.diff(sea)
    curve = np.pad(np.diff(rise), ((0, 0), (1, 1)), mode="edge") if rise.shape[1] > 1 else 0.0 * sea
    bend = -0.25 * SPLIT * (1.0 - SPLIT) * (curve[:, 1:] + curve[:, :-1])
    return SPLIT * rise + bend, 0.5 * SPLIT * rise - WEIGHT * bend


def _march(first: Array, second: Array, begin: Array, pull: Array) -> Array:
    """Differences D after each step, from the sea's part in each stage: shape (steps, m, stretches)."""
    out = np.empty(first.shape)
    half = 0.5 * SPLIT * pull
    ahead, root = begin, np.copysign(np.sqrt(np.abs(begin)), begin)
    for i in range(len(out)):
        middle, _ = _stage(ahead + first[i] - half * root, half)
        ahead, root = _stage(WEIGHT * middle + (1.0 - WEIGHT) * ahead + second[i], half)
        out[i] = ahead
    return out


def _stage(given: Array, half: Array) -> tuple[Array, Array]:
    """D and sign(D) sqrt|D| where D + half sign(D) sqrt|D| is given; half is in root metres."""
    size = np.abs(given)
    root = size / (0.5 * half + np.sqrt(0.25 * half * half + size))
    return np.copysign(root * root, given), np.copysign(root, given)


class InletResponse(NamedTuple):
    """How a bay responds to its sea, over a series.

    Attributes:
        range_ratio: the bay's mean range over the sea's.
        high_lag, low_lag: slack after high and after low water outside, mean, seconds; NaN where the series
            holds none.
    """

    range_ratio: float
    high_lag: float
    low_lag: float


def inlet_response(sea: Array, bay: Array, step: float) -> InletResponse:
    """Range and lags of slack from levels (metres, shape (n,)) at even steps (seconds).

    A bay turns where it meets the sea, at slack. Each slack counts from the latest high water outside where
    the bay stops rising, from the latest low water where it stops falling.
    """
    slack, slack_high = _crossings(sea - bay, step)
    turn, turn_high = _crossings(np.diff(sea), step)
    turn = turn + 0.5 * step
    times = step * np.arange(len(sea))
    ranges = [np.abs(np.diff(np.interp(t, times, level))) for t, level in ((slack, bay), (turn, sea))]
    lags = [_mean_wait(turn[turn_high == high], slack[slack_high == high], step) for high in (True, False)]
    known = all(len(values) for values in ranges)
    return InletResponse(float(ranges[0].mean() / ranges[1].mean()) if known else np.nan, *lags)


def _crossings(values: Array, step: float) -> tuple[Array, NDArray[np.bool_]]:
    """Times of zeros between samples, counted from the first, and whether the values fall there."""
    index = sign_changes(values)
    steps = np.arange(len(values), dtype=float)
    return step * linear_crossings(steps, values, index), values[index] >= 0


def _mean_wait(events: Array, responses: Array, step: float) -> float:
    """Mean time from the latest event to each response; NaN where no response has an event before it.

    Times are read between samples: a response less than a step early is at its event.
    """
    latest = np.searchsorted(events, responses + step, side="right") - 1
    waits = (responses - events[np.clip(latest, 0, None)])[latest >= 0] if len(events) else np.empty(0)
    return float(np.maximum(waits, 0.0).mean()) if waits.size else np.nan
