"""A sketch of the shore: spots, stations and banks where they lie, north up, the flow as arrows at one time.

A plane around the middle of the places: east by the cosine of its latitude. Shores of a day out are a few
kilometres wide, so that nothing is off by more than the marks are wide.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from markupsafe import Markup

from windows.forecast.reports import Forecast, SpotReport
from windows.render.chart.labels import Area, Label, Place, placed
from windows.render.chart.marks import dot, joined, path, text
from windows.render.chart.parts import WIDTH
from windows.render.words.safe_text import isolated, short

HEIGHT = 250.0
LEFT, RIGHT, TOP, BOTTOM = 60.0, 300.0, 30.0, 200.0
"""The places lie inside; names need the room around."""
LEAST_METRES = 400.0
"""A shore of one place is drawn as wide."""
FARTHEST_METRES = 15_000.0
"""A station farther from the first spot is left out: the spots would shrink to one."""
METRES_PER_DEGREE = 111_195.0
"""Of latitude, on a sphere of 6,371 km."""
LONGEST, SHORTEST = 40.0, 12.0
"""Arrows, in units: of the greatest movement, and the least that is drawn."""
HEAD = 5.0
NAME_LENGTH = 22
ROUND = (1.0, 2.0, 5.0, 10.0)


class Spotted(NamedTuple):
    """A place: degrees, its name, and the class of its mark."""

    latitude: float
    longitude: float
    name: str
    css: str


@dataclass(frozen=True, eq=False)
class Sketch:
    """The places of a forecast on a sheet of 360 by 250 units, the flow of one time, POSIX seconds."""

    forecast: Forecast
    t: float

    @cached_property
    def places(self) -> list[Spotted]:
        """Spots, then their stations and banks, each once."""
        spots = [report.spot for report in self.forecast.spots]
        found = [Spotted(spot.latitude, spot.longitude, spot.name, "place") for spot in spots]
        for spot in spots:
            station, bank = spot.station, spot.bank
            if station.latitude is not None and station.longitude is not None:
                found.append(Spotted(station.latitude, station.longitude, station.name, "gauge"))
            if bank is not None and bank.position is not None:
                found.append(Spotted(*bank.position, bank.name, "bank"))
        others = dict.fromkeys(
            item for item in found[len(spots) :] if _metres(item, found[0]) <= FARTHEST_METRES
        )
        return [*found[: len(spots)], *others]

    @cached_property
    def _plane(self) -> tuple[list[float], list[float]]:
        """Metres east and north of the first place."""
        away = [_away(place, self.places[0]) for place in self.places]
        return [east for east, _ in away], [north for _, north in away]

    @cached_property
    def scale(self) -> float:
        """Units of the sheet to a metre."""
        spans = [max(max(side) - min(side), LEAST_METRES) for side in self._plane]
        return min((RIGHT - LEFT) / spans[0], (BOTTOM - TOP) / spans[1])

    @cached_property
    def points(self) -> list[tuple[float, float]]:
        """The places on the sheet."""
        east, north = self._plane
        middle = [(min(side) + max(side)) / 2.0 for side in (east, north)]
        across, down = (LEFT + RIGHT) / 2.0, (TOP + BOTTOM) / 2.0
        return [
            (across + (a - middle[0]) * self.scale, down - (b - middle[1]) * self.scale)
            for a, b in zip(east, north, strict=True)
        ]

    def drawn(self) -> Markup:
        """The sketch as SVG content."""
        marks = [_mark(place.css, *point) for place, point in zip(self.places, self.points, strict=True)]
        taken = [Area(x - 6.0, y - 6.0, x + 6.0, y + 6.0) for x, y in self.points]
        arrows = list(self._arrows())
        taken += [Area(min(a, c), min(b, d), max(a, c), max(b, d)) for a, b, c, d, _ in arrows]
        names = placed(self._names(), [*taken, Area(330.0, 0.0, WIDTH, 40.0)], 0.0, WIDTH)
        drawn = [path(css, _arrow(*ends)) for *ends, css in arrows]
        return joined([*drawn, *marks, names, *self._frame()])

    def _names(self) -> Iterator[Label]:
        for place, (x, y) in zip(self.places, self.points, strict=True):
            said, css = isolated(short(place.name, NAME_LENGTH)), "label" if place.css == "place" else "mark"
            sides = [(x + 9.0, y + 4.6, "start"), (x - 9.0, y + 4.6, "end")]
            sides += [(x, y + 20.0, "middle"), (x, y - 10.0, "middle")]
            sides += [(x + 9.0, y + down, "start") for down in (20.0, -12.0)]
            sides += [(x - 9.0, y + down, "end") for down in (20.0, -12.0)]
            yield tuple(Place(a, b, said, css, anchor) for a, b, anchor in sides)

    def _arrows(self) -> Iterator[tuple[float, float, float, float, str]]:
        """Ends of the arrow of each spot whose set is known, and its class."""
        known = [
            (report, point)
            for report, point in zip(self.forecast.spots, self.points, strict=False)
            if report.spot.ebb_sets is not None and report.flow.has_speed
        ]
        moving = [_moving(report, self.t) for report, _ in known]
        most = max(map(abs, moving), default=0.0)
        for (report, (x, y)), speed in zip(known, moving, strict=True):
            if report.spot.ebb_sets is None or most <= 0.0 or abs(speed) < 0.02 * most:
                continue
            way = math.radians(report.spot.ebb_sets + (0.0 if speed > 0.0 else 180.0))
            size = max(LONGEST * abs(speed) / most, SHORTEST)
            css = "flowing" if speed > 0.0 else "filling"
            yield x, y, x + size * math.sin(way), y - size * math.cos(way), css

    @property
    def flows(self) -> bool:
        """Whether any arrow is drawn."""
        return any(True for _ in self._arrows())

    def _frame(self) -> Iterator[Markup]:
        """North, and a bar of round length."""
        yield path("edge-ink", "M345 32V10M340 17L345 9L350 17")
        yield text(345.0, 46.0, "N", "name", "middle")
        rough = 80.0 / self.scale
        power = 10.0 ** math.floor(math.log10(rough))
        metres = max(step for step in ROUND if step * power <= rough) * power
        yield path("edge-ink", f"M8 232v6H{8.0 + metres * self.scale:.1f}v-6")
        said = f"{metres / 1000.0:g} km" if metres >= 1000.0 else f"{metres:.0f} m"
        yield text(8.0, 226.0, said, "mark")


def _away(place: Spotted, other: Spotted) -> tuple[float, float]:
    """Metres east and north of another place, over the date line too."""
    narrow = math.cos(math.radians(other.latitude))
    east = (place.longitude - other.longitude + 180.0) % 360.0 - 180.0
    return east * narrow * METRES_PER_DEGREE, (place.latitude - other.latitude) * METRES_PER_DEGREE


def _metres(place: Spotted, other: Spotted) -> float:
    return math.hypot(*_away(place, other))


def _moving(report: SpotReport, t: float) -> float:
    return float(np.interp(t, report.curve.t, report.curve.outgoing))


def _mark(css: str, x: float, y: float) -> Markup:
    if css == "place":
        return dot(x, y, 5.0, "place")
    if css == "gauge":
        return path("gauge", f"M{x - 4:.1f} {y - 4:.1f}h8v8h-8z")
    return path("gauge", f"M{x:.1f} {y - 5:.1f}l5 9h-10z")


def _arrow(x: float, y: float, to_x: float, to_y: float) -> str:
    """A line with an open head."""
    way = math.atan2(to_y - y, to_x - x)
    head = f"{to_x:.1f} {to_y:.1f}"
    wings = [(to_x - HEAD * math.cos(way + side), to_y - HEAD * math.sin(way + side)) for side in (0.5, -0.5)]
    return f"M{x:.1f} {y:.1f}L{head}" + "".join(f"M{head}L{a:.1f} {b:.1f}" for a, b in wings)
