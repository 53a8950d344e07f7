"""What holds for every plan, over a year of the demo coasts: `python -m tests.windows.outing.year`."""

import sys
from datetime import date, timedelta

import numpy as np

from tests.cli.runs import DEMOS
from tests.windows.outing.planned import assert_sound, every_plan, plans_of
from windows.outing.reports import Plans
from windows.shoreline.outing_file import parse_day_time
from windows.shoreline.shore import Shore, read_shore

FIRST = date(2026, 1, 1)
FORTNIGHTS = 26


def worths(plans: Plans, group: int = 0) -> list[float]:
    """Worth by day, minus infinity where there is no plan."""
    return [-np.inf if day.plan is None else day.plan.worth for day in plans.lists[group].days]


def lowered(shore: Shore, first: date, days: int = 14) -> int:
    """Days whose worth an hour more, an earlier start, no margin or more spots in one list lower."""
    base = shore.outing._replace(keep=0.0)
    plain = plans_of(shore, first, days, outing=base)
    more = [
        plans_of(shore, first, days, outing=base._replace(longest=base.longest + 3600.0)),
        plans_of(shore, first, days, outing=base._replace(leave_after=parse_day_time("09:00"))),
        plans_of(shore, first, days, outing=base._replace(margin=0.0)),
    ]
    mixed = worths(plans_of(shore, first, days, outing=base, mix=True))
    wrong = 0
    for group in range(len(plain.lists)):
        others = [*(worths(plans, group) for plans in more), mixed]
        wrong += sum(
            b < a - 1e-6 for other in others for a, b in zip(worths(plain, group), other, strict=True)
        )
    return wrong


def main() -> None:
    """Print the figures, a coast a line."""
    for path in DEMOS:
        shore = read_shore(path)
        sound = wrong = days = 0
        for number in range(FORTNIGHTS):
            first = FIRST + timedelta(days=14 * number)
            plans = plans_of(shore, first, 14)
            for plan in every_plan(plans):
                assert_sound(plans, plan)
                sound += 1
            days += sum(len(item.days) for item in plans.lists)
            wrong += lowered(shore, first)
        sys.stdout.write(f"{path.stem}: {days} days of lists, {sound} plans sound, {wrong} worths lowered\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
