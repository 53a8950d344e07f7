"""Ranks and groups of sessions in words."""

from collections.abc import Sequence

from windows.forecast.ranking import RankGroup
from windows.forecast.reports import Forecast, Outside, OutsideWish, SessionReport, SpotReport
from windows.render.words import cautions
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named
from windows.shoreline.hours import FALLBACK

GROUP_NAMES = {
    RankGroup.SPEED: "the spots with a speed",
    RankGroup.FALL: "the spots known by their fall alone",
}


def rank_text(item: SessionReport) -> str:
    """As 1, or 1= where others share it."""
    return f"{item.rank}{'=' if item.level else ''}"


def groups_of(forecast: Forecast) -> list[RankGroup]:
    """The groups that the forecast's spots fall into."""
    return [group for group in RankGroup if any(report.group is group for report in forecast.spots)]


def best_of_groups(forecast: Forecast) -> list[tuple[str, SessionReport]]:
    """The first session of each group, with the group's name where there are two."""
    several = len(groups_of(forecast)) > 1
    return [(f"of {GROUP_NAMES[item.group]}" if several else "", item) for item in forecast.firsts]


def level_words(sessions: Sequence[SessionReport], top: SessionReport, words: Words) -> str:
    """Which session of the same rank has most points, where the one that stands first has fewer."""
    shared = (item for item in sessions if item.rank == top.rank)
    most = max(shared, key=lambda item: item.session.points.total)
    points = round(most.session.points.total)
    if points <= round(top.session.points.total):
        return ""
    when = words.stretch(most.session.start, most.session.end, most.day)
    place = "" if most.spot is top.spot else f" at {named(most.spot.name)}"
    return f"; it shares its rank with {words.day(most.day)}, {when}{place}, {points} points"


def unlike(forecast: Forecast) -> str:
    """Which spots can't be compared with which; empty where all can."""
    names = {
        group: [named(report.spot.name) for report in forecast.spots if report.group is group]
        for group in RankGroup
    }
    if not all(names.values()):
        return ""
    falls, speeds = names[RankGroup.FALL], names[RankGroup.SPEED]
    return f"{', '.join(falls)} can't be compared with {', '.join(speeds)}. {cautions.FALL_ONLY}"


def outside_words(wish: OutsideWish, words: Words) -> str:
    """As "93 at 05:10-07:10 on Mon 10 Aug, before your hours"."""
    item = wish.session
    when = words.stretch(item.session.start, item.session.end, item.day)
    return f"{item.session.points.total:.0f} at {when} on {words.day(item.day)}, {wish.kind.value}"


def hours_words(report: SpotReport, words: Words) -> str:
    """The hours one fishes, what they leave out, and what stands in for a sunset that does not happen.

    Empty where they are any and leave out nothing.
    """
    told = "" if report.hours.any else f"fished {report.hours.text}"
    parts = [told] if told else []
    if report.outside is not None:
        if report.outside.kind is Outside.DAY_OFF and not told:
            parts = ["fished on your days alone"]
        parts.append(f"that leaves out {outside_words(report.outside, words)}")
    return "; ".join([*parts, *_stand_ins(report, words)])


def _stand_ins(report: SpotReport, words: Words) -> list[str]:
    """As "no sunset from Mon 22 Jun 2026 to Wed 24 Jun 2026, 21:00 stands in"."""
    told: list[str] = []
    for mark in dict.fromkeys(report.hours.marks):
        without = [day.day for day in report.days if mark not in day.sun]
        if without:
            when = f"on {words.day(without[0])}"
            if len(without) > 1:
                when = f"on {len(without)} days from {words.day(without[0])} to {words.day(without[-1])}"
            told.append(f"no {mark} {when}, {FALLBACK[mark]:02d}:00 stands in")
    return told
