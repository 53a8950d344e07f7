"""Plain coasts with a landing, for tests of days out."""

import json
from datetime import date

from tests.windows.conftest import coast_text, spot_text

TIDE = [("S2", 1.0, 0.0)]
"""High water 3 m at 0 and 12 h UTC, low water 1 m at 6 and 18 h."""

FIRST = date(2026, 8, 3)
BY_FLOW = '\nlight = "any"\npoints = { flow = 60, light = 40, moon = 0 }'
"""The score is the flow's alone, a hundred times its factor."""
EBBS = "strong_ebb = 0.8"


def landing(name: str = "ramp", keys: str = "", latitude: float = 45.01, longitude: float = 0.0) -> str:
    return (
        f'\n[[landings]]\nid = "{name}"\nname = "{name.title()}"\n'
        f"latitude = {latitude}\nlongitude = {longitude}\n{keys}\n"
    )


def way(start: str, end: str, keys: str = "minutes = 20") -> str:
    return f'\n[[ways]]\nfrom = "{start}"\nto = "{end}"\n{keys}\n'


def bank(name: str = "flat", keys: str = "bare_below = 1.4\nwarm_only = false") -> str:
    return f'\n[[banks]]\nid = "{name}"\nname = "{name.title()}"\nstation = "gauge"\n{keys}\n'


def boat(keys: str = "speed_kn = 6\ndraft = 0.5") -> str:
    return f"\n[boat]\n{keys}\n"


def outing(keys: str = "") -> str:
    return f"\n[outing]\n{keys}\n"


def coast(*parts: str, rows=TIDE, spot_at=(45.0, 0.0), **place) -> str:
    """A gauge, one spot called `spot`, and what is added."""
    spot = spot_text("slack_lag = 0", latitude=spot_at[0], longitude=spot_at[1])
    return coast_text(rows, **place) + spot + "".join(parts)


def wishes(leave_after: str = "00:00", home_by: str = "23:55", **keys: object) -> str:
    """[outing] from keys and values; the whole day where nothing else is said."""
    keys = {"leave_after": leave_after, "home_by": home_by, **keys}
    return outing("\n".join(f"{key} = {json.dumps(value)}" for key, value in keys.items()))


def shore_text(*parts: str, keys: str = "") -> str:
    """The plain coast with its spot scored by flow alone, known as a speed: full for most of each ebb."""
    text = coast(*parts).replace("slack_lag = 0", f"slack_lag = 0{BY_FLOW}\n{keys}", 1)
    return text.replace("[[landings]]", f"[spots.flow]\n{EBBS}\n\n[[landings]]", 1)
