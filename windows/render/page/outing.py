"""Days out as one self-contained page: each list's best day as a strip and a timetable, then the rest."""

from pathlib import PurePath
from typing import TYPE_CHECKING, NamedTuple

from windows.outing.reports import DayOut, Leg, Plan, PlanList, Plans
from windows.render.chart.drawing import LIGHT
from windows.render.chart.outing import Strip, strip_rules
from windows.render.page.document import Frame, frame_of
from windows.render.words import cautions
from windows.render.words.beside import before_going, beside
from windows.render.words.foreseen import full_cautions, not_considered
from windows.render.words.phrases import Words, words_of
from windows.render.words.plan_lacks import no_plans
from windows.render.words.plans import (
    headline,
    leg_note,
    leg_words,
    list_heading,
    rules,
    span_words,
    stops,
)
from windows.render.words.reasons import sentence
from windows.render.words.safe_text import named, plain
from windows.render.words.todays import todays_water

if TYPE_CHECKING:
    from markupsafe import Markup

    from windows.render.page.around import Site


class LegView(NamedTuple):
    """A row of the timetable."""

    when: str
    what: str
    how: str


class BestView(NamedTuple):
    """A list's best day."""

    day: str
    leave: str
    home: str
    worth: str
    stops: tuple[str, ...]
    before: str
    label: str
    height: str
    strip: "Markup"
    legs: tuple[LegView, ...]
    beside: tuple[str, ...]


class DayView(NamedTuple):
    """A row of the days."""

    day: str
    rank: str
    worth: str
    out: str
    stops: str


class ListView(NamedTuple):
    """A list of spots that compare."""

    heading: str
    best: BestView | None
    days: tuple[DayView, ...]
    without: tuple[str, ...]


class PlanView(NamedTuple):
    """The whole page."""

    head: str
    title: str
    invented: str
    span: str
    clock: str
    heights: str
    known: tuple[str, ...]
    rules: tuple[str, ...]
    full: tuple[str, ...]
    lists: tuple[ListView, ...]
    made: str


def plan_page(plans: Plans, source: str | None = None, site: "Site | None" = None) -> str:
    """The plans as HTML.

    Args:
        plans: finished.
        source: the file they were made from; the page shows its name without folders.
        site: what stands around it where it is served; None for a page by itself.
    """
    frame = plan_frame(served=site is not None)
    view = _view(plans, source)
    return frame.template.render(
        site=site,
        view=view,
        head=view.head,
        policy=frame.policy,
        css=frame.css,
        short=cautions.SHORT,
    )


def plan_frame(served: bool) -> Frame:
    """What is the same in every page of plans."""
    return frame_of("plan.html", None, strip_rules({name: f"var(--{name})" for name in LIGHT}), served)


def _view(plans: Plans, source: str | None) -> PlanView:
    forecast = plans.forecast
    words = words_of(forecast.head)
    days = forecast.spots[0].days[: plans.days]
    datums = " or ".join(sorted({plain(report.spot.station.datum) for report in forecast.spots}))
    made, told = words.local(forecast.made_at), span_words(plans, words)
    unseen = not_considered(forecast, words)
    file = f" from {plain(PurePath(source).name)}" if source else ""
    return PlanView(
        head=f"{named(forecast.head.title)}: {told}",
        title=plain(forecast.head.title),
        invented=cautions.INVENTED if forecast.head.invented else "",
        span=f"{told[:1].upper()}{told[1:]}",
        clock=words.zone_words([*(day.start for day in days), days[-1].end]),
        heights=f"{forecast.head.units.value} above {datums}",
        known=todays_water(forecast, words),
        rules=(*rules(plans, words), f"{unseen[0].upper()}{unseen[1:]}."),
        full=full_cautions(forecast, words),
        lists=tuple(_list(plans, item, words) for item in plans.lists),
        made=f"{words.day(made.date())} {made.year} {made:%H:%M} ({made:%Z}){file}",
    )


def _list(plans: Plans, item: PlanList, words: Words) -> ListView:
    planned = [(day, day.plan) for day in item.days if day.plan is not None] if plans.days > 1 else []
    return ListView(
        heading=list_heading(plans, item),
        best=_best(plans, item, item.ranking[0], words) if item.ranking else None,
        days=tuple(_day(day, plan, words) for day, plan in planned),
        without=tuple(no_plans(plans, item, words)),
    )


def _best(plans: Plans, item: PlanList, plan: Plan, words: Words) -> BestView:
    strip = Strip(plans, item, plan, words, titled=False)
    return BestView(
        day=words.day(plan.day),
        leave=words.day_clock(plan.leave, plan.day),
        home=words.day_clock(plan.home, plan.day),
        worth=f"{plan.worth:.0f}",
        stops=tuple(stops(plan, words)),
        before=sentence(before_going(plan, words)),
        label=headline(plan, words),
        height=f"{strip.height:.0f}",
        strip=strip.drawn(),
        legs=tuple(_leg(plans, plan, leg, words) for leg in plan.legs if leg.end > leg.start),
        beside=tuple(beside(plans, item, plan, words)),
    )


def _leg(plans: Plans, plan: Plan, leg: Leg, words: Words) -> LegView:
    when = words.stretch(leg.start, leg.end, plan.day)
    return LegView(when, leg_words(plans, leg, words), leg_note(plans, leg, words))


def _day(day: DayOut, plan: Plan, words: Words) -> DayView:
    out = words.stretch(plan.leave, plan.home, day.day)
    return DayView(
        words.day(day.day), str(plan.rank), f"{plan.worth:.0f}", out, ", ".join(stops(plan, words))
    )
