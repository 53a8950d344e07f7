"""The water of landings and ways while a day out uses them, and the time to when it opens and shuts them."""

import numpy as np

from windows.conditions.assembly import STEP
from windows.outing.beside import GateUse
from windows.outing.scene import Scene
from windows.shoreline.outings import Sill

A_DAY = round(86400.0 / STEP)


def gate_use(scene: Scene, sill: Sill | None, first: int, last: int) -> GateUse | None:
    """The water of a landing or way from one point in time to another; None where it wants none."""
    if sill is None:
        return None
    levels = scene.level(sill.station)[first : last + 1]
    level = float(levels[0])
    shut = np.flatnonzero(~scene.sill_open(sill))
    before, after = shut[shut < first][-1:], shut[shut > last][:1]
    since = int(before[0]) + 1 if before.size and first - before[0] <= A_DAY else None
    until = int(after[0]) - 1 if after.size and after[0] - last <= A_DAY else None
    t = scene.t
    needed = max(last, first + 1)
    return GateUse(
        t=float(t[first]),
        clear=float(t[last]),
        level=level,
        spare=None if sill.least_level is None else float(levels.min()) - sill.least_level,
        depth=None if sill.depth_at_datum is None else level + sill.depth_at_datum,
        since=None if since is None else float(t[since]),
        until=None if until is None else float(t[until]),
        kept_after=None if since is None else _kept(scene, first - since, first - since),
        kept_before=None if until is None else _kept(scene, until - needed, until - last),
    )


def _kept(scene: Scene, counted: int, told: int) -> float | None:
    """Seconds of some steps where those that count are the margin's and no more; None elsewhere."""
    return told * STEP if scene.margin and counted == scene.margin else None
