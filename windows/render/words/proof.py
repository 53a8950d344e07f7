"""What a proof says, in sentences: the answer first, then the scores."""

from datetime import date
from itertools import groupby

from windows.forecast.proof import Proof, ProvenSession
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named

SAID_AXIS = "chance that was said, %"
SEEN_AXIS = "share that came true, %"
SESSIONS_KEY, HOURS_KEY = "sessions", "all hours"
_QUARTERS = ("December to February", "March to May", "June to August", "September to November")


def headline(proof: Proof, words: Words) -> str:
    """As "Of 500 sessions forecast here from 1 Jan 2013 to 31 Dec 2013, 453 came true; ..."."""
    count, expected = len(proof.sessions), sum(item.chance for item in proof.sessions)
    if not count:
        return f"No session was forecast here {_period(proof, words)}."
    return (
        f"Of {count} sessions forecast here {_period(proof, words)}, {proof.came} came true; their chances "
        f"add up to {expected:.0f}."
    )


def _period(proof: Proof, words: Words) -> str:
    first, last = (words.local(t).date() for t in (proof.start, proof.end - 60.0))
    return f"from {_date(first)} to {_date(last)}"


def _date(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def method(proof: Proof, words: Words) -> list[str]:
    """What was judged, and by what."""
    constants = "from the part of the record before it" if proof.refitted else "of the file"
    begun = _date(words.local(proof.learned).date())
    lines = [
        f"Each fortnight was forecast by constants {constants} and by the record from {begun} as it stood "
        "then. A session came true where its flow factor was a half or more on average, with the water "
        "inside its limits; good water is the same at a full hour, in whatever light."
    ]
    if proof.hidden:
        lines.append(f"Sessions in gaps of the record, not counted: {proof.hidden}.")
    return lines


def score_lines(proof: Proof, words: Words) -> list[str]:
    """Scores, level, ranges, turns, each in a sentence."""
    lines: list[str] = []
    for what, found in (("sessions", proof.session_scores), ("hours", proof.hour_scores)):
        if not found.tenths:
            continue
        lines.append(
            f"Brier score of the chances of {what}, 0 being perfect: {found.brier:.3f}; tide alone, yes or "
            f"no: {found.plain:.3f}; always the share that was seen: {found.climate:.3f}."
        )
    error, turns = proof.error, proof.turns
    above = "higher" if error.mean >= 0 else "lower"
    lines.append(
        f"The level stood {words.height(abs(error.mean), 2)} {above} than predicted on average, with a "
        f"standard deviation of {words.height(error.deviation, 2)} beside the tide's own "
        f"{words.height(error.tide, 2)}."
    )
    if error.with_weather is not None and error.same_hours is not None:
        lines.append(
            f"With the weather as it was: {words.height(error.with_weather, 2)}, against "
            f"{words.height(error.same_hours, 2)} without it in the same hours."
        )
    lines.append(
        f"In {100 * proof.in_range:.0f} of 100 hours the level lay in its range of eight cases in ten."
    )
    if turns.found:
        late = "late" if turns.late >= 0 else "early"
        lines.append(
            f"High and low waters came {abs(turns.late) / 60:.0f} min {late} on average, with a standard "
            f"deviation of {turns.spread / 60:.0f} min; {turns.missing} of {turns.found + turns.missing} did "
            "not show within three hours."
        )
    return lines


def season_rows(proof: Proof, words: Words) -> list[tuple[str, str, str, str]]:
    """Season, sessions, what was said of 100, what came of 100."""

    def quarter(item: ProvenSession) -> int:
        return words.local(item.start).month % 12 // 3

    rows: list[tuple[str, str, str, str]] = []
    for number, group in groupby(sorted(proof.sessions, key=quarter), key=quarter):
        items = list(group)
        said, came = (
            sum(values) / len(items) for values in zip(*((i.chance, i.came) for i in items), strict=True)
        )
        rows.append((_QUARTERS[number], str(len(items)), f"{100 * said:.0f}", f"{100 * came:.0f}"))
    return rows


def lead_lines(proof: Proof) -> list[str]:
    """Whether readings of the day help, in a sentence."""
    better = [item.hours for item in proof.leads if item.fading < item.nothing]
    if not proof.leads:
        return ["Too short to try readings of the day on: they need two months before each."]
    if not better:
        return ["Readings of the day did not help here."]
    beaten = [item.hours for item in proof.leads if item.fading > item.persistence]
    text = f"Readings of the day help here up to {max(better):.0f} hours ahead"
    if beaten:
        text += f"; kept whole they would be better at {', '.join(f'{hours:.0f}' for hours in beaten)} h"
    return [f"{text}. Left of the level (root mean square):"]


def title(proof: Proof) -> str:
    """As "Proof of Dry Bar"."""
    return f"{named(proof.head.title)}: the record of {named(proof.station.name)}"
