"""Trips, rules and reports of the log in words."""

from collections.abc import Sequence
from itertools import groupby
from zoneinfo import ZoneInfo

from harmonics.units import LengthUnit
from windows.log.power import Need
from windows.log.regression import STEP, CatchRatio
from windows.log.report import LogReport
from windows.log.rules import Judgement, Ruling, Why
from windows.log.trips import Catch, Fish, FrozenForecast, Made, Trip
from windows.log.verdict import LEAST_TRIPS, PermutationTest, Verdict
from windows.render.words.foreseen import hundred
from windows.render.words.phrases import Words
from windows.render.words.safe_text import plain

CENTIMETRES, INCHES = 0.01, 0.0254
_MADE = {
    Made.PLANNED: "made before the trip",
    Made.LOGGED: "frozen with the entry",
    Made.LATER: "computed later",
}
LOOK_UP = "look it up where the rules stand"
NO_RULES = "The file has no [[rules]]: look up sizes, bags and seasons where they stand."
_WHY = {
    Why.NO_RULE: "the file has no rule for it",
    Why.NEVER_CHECKED: "its rule has no date on which it was checked",
    Why.NOT_MEASURED: "it was not measured",
    Why.OUT_OF_SEASON: "it is out of season",
}


def words_of_trip(trip: Trip, units: LengthUnit) -> Words:
    """Words for the clock a trip was lived by."""
    return Words(ZoneInfo(trip.zone), units)


def length(metres: float, units: LengthUnit) -> str:
    """A fish's length as 38.5 cm or 15.2 in."""
    unit, symbol = (INCHES, "in") if units is LengthUnit.FEET else (CENTIMETRES, "cm")
    return f"{metres / unit:.2f}".rstrip("0").rstrip(".") + f" {symbol}"


def when(trip: Trip, units: LengthUnit) -> str:
    """As Sat 15 Aug 2026, 17:30-20:10."""
    words = words_of_trip(trip, units)
    day = words.local(trip.start).date()
    return f"{words.day(day)} {day.year}, {words.stretch(trip.start, trip.end, day)}"


def catch_words(trip: Trip) -> str:
    """As 3 flounder (1 kept), 0 bass; nothing; planned."""
    if not trip.fished:
        return "planned"
    if not trip.catches:
        return "nothing"
    return ", ".join(map(_caught, trip.catches))


def _caught(catch: Catch) -> str:
    kept = f" ({catch.kept} kept)" if catch.kept else ""
    return f"{len(catch.fish)} {plain(catch.species)}{kept}"


def trip_words(trip: Trip, units: LengthUnit) -> str:
    """Where, when, how long and what was caught, in a sentence."""
    hours = f"{trip.angler_hours:.1f} angler-hours"
    return f"{plain(trip.spot_name)}, {when(trip, units)}, {hours}: {catch_words(trip)}."


def points_words(made: FrozenForecast | None) -> str:
    """As 78, 78 later, or a dash where there is none."""
    if made is None:
        return "-"
    return f"{made.points:.0f}{' later' if made.made is Made.LATER else ''}"


def forecast_words(made: FrozenForecast | None) -> str:
    """A sentence on the forecast that is kept with a trip."""
    if made is None:
        return "No forecast is kept with it."
    factors = ", ".join(f"{item.factor} {item.points:.0f} of {item.most:.0f}" for item in made.factors)
    chance = "" if made.chance is None else f"; such water comes true in {hundred(made.chance)} of 100 cases"
    return f"Its hours had {made.points:.0f} of 100 points ({factors}), {_MADE[made.made]}{chance}."


def judgement_lines(judged: Sequence[Judgement], units: LengthUnit) -> list[str]:
    """Keep, release or look it up: a line for each run of fish alike."""
    lines: list[str] = []
    told = [(_fish(item, units), _ruling(item, units)) for item in judged]
    for (who, ruling), run in groupby(told):
        count = len(list(run))
        lines.append(f"{f'{count} x ' if count > 1 else ''}{who}: {ruling}.")
    return lines


def _fish(item: Judgement, units: LengthUnit) -> str:
    fish: Fish = item.fish
    size = "" if fish.length is None else f" of {length(fish.length, units)}"
    measured = "" if fish.measured is None or fish.length is None else f" ({fish.measured.value} length)"
    return f"{plain(item.species)}{size}{measured}{'' if fish.kept else ', released'}"


def _ruling(item: Judgement, units: LengthUnit) -> str:
    reasons = "; ".join(_reason(why, item, units) for why in item.why)
    source = f" (by {plain(item.rule.source)})" if item.rule is not None and item.rule.source else ""
    if item.ruling is Ruling.LOOK_UP:
        return f"{LOOK_UP}: {reasons}{source}"
    if item.ruling is Ruling.RELEASE:
        head = "release it" if item.fish.kept else "right to release it"
        return f"{head}: {reasons}{source}"
    bag = ""
    if item.bag is not None and item.fish.kept:
        bag = f", number {item.bag.place} of a bag of {item.bag.allowed} that day"
    head = "keep" if item.fish.kept else "could have been kept"
    return f"{head}{bag}{source}"


def _reason(why: Why, item: Judgement, units: LengthUnit) -> str:
    rule, bag = item.rule, item.bag
    if why in _WHY or rule is None:
        return _WHY[why]
    if why is Why.OLD_CHECK:
        return f"its rule was checked {item.checked_days} days ago"
    if why is Why.OTHER_MEASURE:
        how = rule.measured.value if rule.measured is not None else ""
        return f"its rule is for {how} length, which was not taken"
    if why is Why.TOO_SHORT and rule.least_length is not None:
        return f"shorter than {length(rule.least_length, units)}"
    if why is Why.TOO_LONG and rule.greatest_length is not None:
        return f"longer than {length(rule.greatest_length, units)}"
    return f"number {bag.place} of that day, where {bag.allowed} may be kept" if bag is not None else ""


def verdict_words(report: LogReport) -> str:
    """The report's first sentence: what the log allows to be said."""
    few = f"{report.counts.comparable} of {trips_words(len(report.counts))}"
    untested = "shuffling was left out, so there is no verdict"
    return {
        Verdict.TOO_FEW: (
            f"No verdict yet: {few} share spot and month with another of other points, and it takes "
            f"{LEAST_TRIPS}."
        ),
        Verdict.NO_FISH: "No verdict: there is no fish in these trips.",
        Verdict.OPEN: (
            f"No verdict: {untested}."
            if report.test is None
            else f"No verdict: {few} do not tell whether hours with more points catch more."
        ),
        Verdict.BETTER: "Hours with more points caught more, beyond what chance explains.",
        Verdict.WORSE: (
            "Hours with more points caught less, beyond what chance explains: the score misleads here."
        ),
    }[report.verdict]


def test_words(test: PermutationTest) -> str:
    """How often chance does as well."""
    return (
        f"Of {test.permutations} shufflings of the points among trips of one spot and month, "
        f"{test.above:.1%} did as well or better and {test.below:.1%} as badly or worse. "
        f"Spearman's rank correlation of points with fish an angler-hour is {test.spearman:.2f} "
        f"(chance {test.spearman_chance:.1%})."
    )


def ratio_words(ratio: CatchRatio) -> str:
    """The catch ratio with its interval."""
    return (
        f"At one spot in one month, {STEP:.0f} points more went with {ratio.ratio:.2f} times the catch "
        f"(95 % interval {ratio.low:.2f} to {ratio.high:.2f}; negative binomial regression)."
    )


def needs_words(needs: Sequence[Need], own: bool, trips: int) -> str:
    """How many trips a verdict would take, of a log of so many."""
    first, *others = needs
    told = "".join(f", {need.ratio:g} times as much about {need.trips}" for need in others)
    basis = "With catches like yours" if own else "With two fish a trip and the usual spread"
    return (
        f"{basis} it takes about {first.trips} trips to see that the better half of the hours catches "
        f"{first.ratio:g} times as much as the worse{told}; four logs of five would show it then."
        f"{'' if trips >= needs[-1].trips else FINE}"
    )


def left_out_words(report: LogReport) -> list[str]:
    """What the numbers do not count, or should not have."""
    lines: list[str] = []
    if report.planned:
        lines.append(f"{trips_words(report.planned)} only planned.")
    if report.without_forecast:
        lines.append(
            f"{trips_words(report.without_forecast)} without a forecast; "
            "`ebblight log edit FILE NUMBER --compute` makes one, marked as later."
        )
    if report.hindsight and not report.with_later:
        lines.append(
            f"{trips_words(report.hindsight)} left out, whose forecast was computed later: a file changed "
            "by what trips taught proves nothing by them. --with-later counts them."
        )
    if report.hindsight and report.with_later:
        lines.append(
            f"{trips_words(report.hindsight)} counted whose forecast was computed later: fair only if "
            "the file was not changed by what they taught."
        )
    return lines


def basis_lines(report: LogReport) -> list[str]:
    """What a report's numbers rest on, a sentence each."""
    lines = [] if report.ratio is None else [ratio_words(report.ratio)]
    lines += [] if report.test is None else [test_words(report.test)]
    return [
        *lines,
        needs_words(report.needs, report.own_catches, len(report.counts)),
        *left_out_words(report),
    ]


def trips_words(count: int) -> str:
    """As 1 trip, 12 trips."""
    return "1 trip" if count == 1 else f"{count} trips"


RATES_AXIS = "fish an angler-hour; bars: rate and its 95 % interval"
CLIPPED = "; dots at the top stand for more"
POINTS_AXIS = "points of the hours fished"
FINE = " An effect of some percent is more than one angler's log can show."
SLICES = (
    "Looking at one spot or species after another finds something by chance alone sooner or later: decide "
    "beforehand what you want to know."
)


def import_words(kept: int, there: int, differ: int, path: str) -> str:
    """What became of a table of trips."""
    text = f"{trips_words(kept)} kept in {path}"
    if there:
        text += f"; {there} there already, left as they are"
    if differ:
        text += f" ({differ} of them say something else now: change those with `ebblight log edit`)"
    return f"{text}."
