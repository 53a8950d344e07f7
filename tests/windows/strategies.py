"""Random coasts, places and hours, for hypothesis."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import strategies as st

phases = st.floats(0.0, 359.0).map(lambda value: round(value, 1))
ZONES = ("UTC", "America/Chicago", "Europe/Helsinki", "Australia/Lord_Howe", "Pacific/Chatham")


def amplitudes(least: float, greatest: float):
    return st.floats(least, greatest).map(lambda value: round(value, 3))


@st.composite
def semidiurnal_rows(draw: st.DrawFn):
    return [
        ("M2", draw(amplitudes(0.3, 2.0)), draw(phases)),
        ("S2", draw(amplitudes(0.0, 0.5)), draw(phases)),
        ("O1", draw(amplitudes(0.0, 0.1)), draw(phases)),
    ]


@st.composite
def diurnal_rows(draw: st.DrawFn):
    return [
        ("K1", draw(amplitudes(0.1, 0.5)), draw(phases)),
        ("O1", draw(amplitudes(0.1, 0.5)), draw(phases)),
        ("M2", draw(amplitudes(0.0, 0.05)), draw(phases)),
    ]


rows = st.one_of(semidiurnal_rows(), diurnal_rows())


@st.composite
def places(draw: st.DrawFn):
    """A clock, and a position where people might read it: within three hours of the sun's time."""
    zone = draw(st.sampled_from(ZONES))
    hours = datetime(2026, 1, 1, tzinfo=ZoneInfo(zone)).utcoffset() or timedelta()
    east = hours / timedelta(hours=1) * 15.0 + draw(st.floats(-45, 45))
    latitude = round(draw(st.floats(-60, 60)), 2)
    return {"zone": zone, "latitude": latitude, "longitude": round((east + 180.0) % 360.0 - 180.0, 2)}


spot_keys = st.builds(
    "\n".join,
    st.lists(
        st.sampled_from(
            (
                "slack_lag = 35",
                'light = "any"',
                'session = "3h"',
                'hours = "12:00-sunset+1h"',
                'days = ["sat", "sun", "wed"]',
                "least_level = 1.5",
                "daylight_only = true",
                "points = { flow = 100, light = 0, moon = 0 }",
                "keep = 35",
            )
        ),
        unique=True,
        max_size=3,
    ),
)

clock_times = st.tuples(st.integers(0, 23), st.integers(0, 59)).map(lambda hm: f"{hm[0]}:{hm[1]:02}")
shifts = st.one_of(
    st.just(""),
    st.tuples(st.sampled_from("+-"), st.integers(0, 11), st.integers(0, 59)).map(
        lambda parts: f"{parts[0]}{parts[1]}h{parts[2]}min"
    ),
    st.tuples(st.sampled_from("+-"), st.integers(0, 12)).map(lambda parts: f"{parts[0]}{parts[1]}h"),
    st.tuples(st.sampled_from("+-"), st.integers(0, 720)).map(lambda parts: f"{parts[0]}{parts[1]}min"),
)
sun_times = st.builds(str.__add__, st.sampled_from(("dawn", "sunrise", "sunset", "dusk")), shifts)
hour_ends = st.one_of(clock_times, sun_times)
