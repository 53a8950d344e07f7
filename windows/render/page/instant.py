"""This minute at each spot as one self-contained page: what the water does, until when, and what to do."""

from typing import TYPE_CHECKING, NamedTuple

from windows.forecast.now import NowReport, SpotNow
from windows.render.chart import lanes, parts
from windows.render.chart.drawing import day_chart
from windows.render.page.document import frame_of
from windows.render.words import cautions
from windows.render.words.foreseen import full_cautions
from windows.render.words.now import depth_words, moves, since_until, what_to_do
from windows.render.words.phrases import Words, words_of
from windows.render.words.ranks import unlike
from windows.render.words.safe_text import named, plain
from windows.render.words.todays import todays_water

if TYPE_CHECKING:
    from markupsafe import Markup

    from windows.render.page.around import Site


class SpotView(NamedTuple):
    """A spot at the instant."""

    name: str
    moves: str
    since: str
    until: str
    level: str
    points: str
    good: bool
    to_do: str
    day: str
    chart: "Markup"
    cursor: str


class NowView(NamedTuple):
    """The whole page."""

    head: str
    title: str
    invented: str
    when: str
    clock: str
    heights: str
    todays: tuple[str, ...]
    unlike: str
    spots: tuple[SpotView, ...]


def now_page(report: NowReport, site: "Site | None" = None) -> str:
    """The instant as HTML.

    Args:
        report: finished.
        site: what stands around it where it is served; None for a page by itself.
    """
    frame, words = frame_of("now.html", None, served=site is not None), words_of(report.head)
    view = _view(report, words)
    return frame.template.render(
        site=site,
        view=view,
        head=view.head,
        policy=frame.policy,
        css=frame.css,
        short=cautions.SHORT,
        full=full_cautions(report.forecast, words),
    )


def _view(report: NowReport, words: Words) -> NowView:
    local = words.local(report.t)
    when = f"{words.day(local.date())} {local.year}, {words.clock(report.t)}"
    datums = " or ".join(sorted({plain(item.spot.station.datum) for item in report.spots}))
    return NowView(
        head=f"{named(report.head.title)}, {when}",
        title=plain(report.head.title),
        invented=cautions.INVENTED if report.head.invented else "",
        when=when,
        clock=words.zone_words([report.t]),
        heights=f"{report.head.units.value} above {datums}",
        todays=tuple(todays_water(report.forecast, words)),
        unlike=unlike(report.forecast),
        spots=tuple(_spot(item, words) for item in report.spots),
    )


def _spot(item: SpotNow, words: Words) -> SpotView:
    now = item.reading.t
    day = next((day for day in item.report.days if day.start <= now < day.end), item.report.days[0])
    frame = parts.Frame(item.report, day, words, parts.level_axis(item.report, words))
    since, until = since_until(item, words)
    return SpotView(
        name=plain(item.spot.name),
        moves=moves(item, words),
        since=since,
        until=until,
        level=f"{words.height(item.reading.level)}{depth_words(item, words)}",
        points=f"{item.points.total:.0f}",
        good=item.window is not None,
        to_do=what_to_do(item, words),
        day=words.day(day.day),
        chart=day_chart(frame),
        cursor=lanes.cursor(frame, now),
    )
