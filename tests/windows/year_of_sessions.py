"""A year of sessions held to what a person reads off them: `python -m tests.windows.year_of_sessions`.

The sky of the labels is skyfield's own, the water and gates are asked minute by minute.
"""

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import skyfield_data
from skyfield.api import load, load_file, wgs84

from tests.coasts import STATION_IDS, head, published_station, spot, written
from windows.conditions.assembly import conditions_of
from windows.conditions.outlook import Outlook
from windows.conditions.span import Span
from windows.forecast.making import make_forecast
from windows.forecast.reports import SessionReport, SpotReport
from windows.shoreline.hours import ANY_HOURS
from windows.shoreline.shore import Shore, read_shore

LONG_AGO = Outlook(0.0)
DEMOS = Path(__file__).parents[2] / "demo_stations"
ZONES = {"8729840": "America/Chicago", "8724580": "America/New_York", "8443970": "America/New_York"}
ZONES |= {"9447130": "America/Los_Angeles", "1612340": "Pacific/Honolulu"}
PLACES = {"8729840": (30.40, -87.21), "8724580": (24.55, -81.81), "8443970": (42.35, -71.05)}
PLACES |= {"9447130": (47.60, -122.34), "1612340": (21.30, -157.87)}


def coasts(folder: Path) -> Iterator[Shore]:
    """The demo coasts, and a file with a spot at each published station, of each wish for light and water."""
    for path in sorted(DEMOS.glob("*.toml")):
        yield read_shore(path)
    for station in STATION_IDS:
        place = PLACES[station]
        spots = [
            spot("low", station, *place, "slack_lag = 20"),
            spot("day", station, *place, 'slack_lag = 0\nlight = "day"\nwater = "incoming"'),
        ]
        text = [head(ZONES[station]), published_station(station), *spots]
        yield read_shore(written(folder, *text, name=f"{station}.toml"))


def sessions_of(report: SpotReport) -> list[SessionReport]:
    """In order of time."""
    return [item for day in report.days for item in day.sessions]


def on_another_day(shore: Shore, report: SpotReport) -> int:
    """Sessions whose day is not the local date of their start, or that lie under another day's heading."""
    wrong = 0
    for day in report.days:
        for item in day.sessions:
            start = datetime.fromtimestamp(item.session.start, UTC).astimezone(shore.head.zone)
            wrong += not (item.day == day.day == start.date())
    return wrong


def unlike_single_days(shore: Shore, index: int, report: SpotReport) -> list[tuple[date, str]]:
    """Days that a forecast of that day alone fills with other sessions, and how they differ."""
    out: list[tuple[date, str]] = []
    for day in report.days:
        (alone,) = make_forecast(shore, [shore.spots[index]], day.day, 1, LONG_AGO).spots
        year = [(i.session.start, i.session.end, i.session.points.total) for i in day.sessions]
        one = [(i.session.start, i.session.end, i.session.points.total) for i in sessions_of(alone)]
        if len(year) != len(one):
            out.append((day.day, "number"))
        elif [item[:2] for item in year] != [item[:2] for item in one]:
            moved = max(
                abs(a - b) for x, y in zip(year, one, strict=True) for a, b in zip(x[:2], y[:2], strict=True)
            )
            out.append((day.day, f"times by {moved / 60:g} min"))
        elif any(abs(x[2] - y[2]) > 0.5 for x, y in zip(year, one, strict=True)):
            out.append((day.day, "points"))
    return out


def unfishable_minutes(shore: Shore, report: SpotReport, first: date, days: int) -> int:
    """Minutes of sessions at which water does not go as asked or a gate is shut."""
    span = Span.of(first, days, shore.head.zone)
    conditions = conditions_of(report.spot, span, LONG_AGO, ANY_HOURS)
    minutes = [np.arange(i.session.start, i.session.end, 60.0) for i in sessions_of(report)]
    if not minutes:
        return 0
    t = np.concatenate(minutes)
    curve = conditions.at(t)
    going = report.spot.preferences.water.going(conditions.flow.outgoing(t))
    return int(np.count_nonzero((going <= 0.0) | ~curve.open | (curve.flow_factor <= 0.0)))


class Sun:
    """The sun's altitude by skyfield."""

    def __init__(self) -> None:
        self.timescale = load.timescale(builtin=True)
        self.kernel = load_file(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))
        self.earth, self.sun = self.kernel["earth"], self.kernel["sun"]

    def __enter__(self) -> "Sun":
        return self

    def __exit__(self, *_: object) -> None:
        self.kernel.close()

    def altitude(self, latitude: float, longitude: float, t: np.ndarray) -> np.ndarray:
        """Airless, degrees, at POSIX seconds."""
        times = self.timescale.utc(1970, 1, 1.0 + t / 86400.0)
        seen = (self.earth + wgs84.latlon(latitude, longitude)).at(times).observe(self.sun).apparent()
        return np.asarray(seen.altaz()[0].degrees)


def labels_by(altitude: np.ndarray) -> set[tuple[str, ...]]:
    """The kinds of light that may be said of even minutes; more than one where a share is on the edge."""
    out = set()
    for nudge in (-0.02, 0.0, 0.02):
        moved = altitude + nudge
        kinds = np.where(moved > 6.0, "daylight", np.where(moved >= -6.0, "low light", "dark"))
        counts = Counter(kinds.tolist()).most_common()
        told = [kind for kind, count in counts[:2] if count * 3 >= len(kinds)] or [counts[0][0]]
        if len(counts) > 1 and counts[1][1] * 3 < len(kinds):
            told = [counts[0][0]]
        told.sort(key=lambda kind: float(np.flatnonzero(kinds == kind).mean()))
        out.add(tuple(told))
    return out


def labels_apart(report: SpotReport, sun: Sun) -> list[SessionReport]:
    """Sessions whose light skyfield's sun names otherwise."""
    found = sessions_of(report)
    if not found:
        return []
    minutes = [np.arange(i.session.start, i.session.end, 60.0) for i in found]
    altitude = sun.altitude(report.spot.latitude, report.spot.longitude, np.concatenate(minutes))
    parts = np.split(altitude, np.cumsum([len(each) for each in minutes])[:-1])
    return [
        item
        for item, part in zip(found, parts, strict=True)
        if tuple(map(str, item.session.light)) not in labels_by(part)
    ]


def sums_apart(report: SpotReport) -> int:
    """Sessions whose points by factor don't sum to the total, or whose range misses what it may be."""
    wrong = 0
    for item in sessions_of(report):
        points = item.session.points
        wrong += abs(points.flow + points.light + points.moon - points.total) > 1e-9
        wrong += not 0.0 <= item.session.low <= item.session.high <= 100.0 + 1e-9
    return wrong


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the figures, a spot a line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", type=date.fromisoformat, default=date(2026, 1, 1))
    parser.add_argument("--days", type=int, default=365)
    asked = parser.parse_args(arguments)
    with Sun() as sun, tempfile.TemporaryDirectory() as folder:
        for shore in coasts(Path(folder)):
            made = make_forecast(shore, shore.spots, asked.first, asked.days, LONG_AGO)
            for index, report in enumerate(made.spots):
                singles = unlike_single_days(shore, index, report)
                kinds = Counter(kind for _, kind in singles)
                sys.stdout.write(
                    f"{shore.path.stem} {report.spot.id}: {len(sessions_of(report))} sessions; "
                    f"{on_another_day(shore, report)} under another day; "
                    f"{unfishable_minutes(shore, report, asked.first, asked.days)} minutes unfishable; "
                    f"{len(labels_apart(report, sun))} labels apart; {sums_apart(report)} sums apart; "
                    f"{len(singles)} days unlike alone {dict(kinds)}\n"
                )
    last = asked.first + timedelta(days=asked.days - 1)
    sys.stdout.write(f"{asked.first} to {last}, hours any\n")


if __name__ == "__main__":
    main()
