"""Ranks and groups of sessions in words."""

from windows.forecast.ranking import RankGroup
from windows.forecast.reports import Forecast, Outside, OutsideWish, SessionReport, SpotReport
from windows.render.words import cautions
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named

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
    """The hours one fishes, and what they leave out; empty where they are any and leave out nothing."""
    told = "" if report.hours.any else f"fished {report.hours.text}"
    if report.outside is None:
        return told
    left_out = f"that leaves out {outside_words(report.outside, words)}"
    if report.outside.kind is Outside.DAY_OFF and not told:
        told = "fished on your days alone"
    return f"{told}; {left_out}" if told else left_out
