"""Trips, what the rules say of them, a report and lessons as text for people."""

from collections.abc import Sequence

from harmonics.units import LengthUnit
from windows.log.file_edits import plain as whole
from windows.log.lessons import Lesson
from windows.log.report import LogReport
from windows.log.rules import Judgement
from windows.log.trips import Trip
from windows.render.text.layout import Column, paragraph, table
from windows.render.words import lessons as lesson_texts
from windows.render.words import log as texts
from windows.render.words.cautions import INVENTED, SHORT
from windows.render.words.safe_text import plain, short
from windows.shoreline.shore import Shore

NAME_LENGTH = 24


def trips_text(trips: Sequence[Trip], total: int, path: str, units: LengthUnit, width: int) -> str:
    """A table of trips, the last ones of many; `total` counts those asked for."""
    if not total:
        return paragraph(f"No trips to show in {path}.", width) + "\n"
    columns = [
        Column("No.", right=True),
        Column("When"),
        Column("Spot", fold=True),
        Column("Angler-h", right=True),
        Column("Caught", fold=True),
        Column("Points", right=True),
    ]
    rows = [
        [
            f"{trip.number}{' out' if trip.removed_at is not None else ''}",
            texts.when(trip, units),
            short(trip.spot_name, NAME_LENGTH),
            f"{trip.angler_hours:.1f}",
            texts.catch_words(trip),
            texts.points_words(trip.forecast),
        ]
        for trip in trips
    ]
    lines = [table(columns, rows, width)]
    if len(trips) < total:
        lines.append(paragraph(f"The last {len(trips)} of {total} trips; --last {total} shows all.", width))
    return "\n".join([*lines, SHORT]) + "\n"


def entry_text(
    done: str,
    trip: Trip,
    judged: Sequence[Judgement],
    shore: Shore,
    path: str,
    width: int,
    twins: Sequence[int] = (),
) -> str:
    """What was kept of a trip, its forecast, and what the rules of the file say of its fish.

    Args:
        done: what was done with it.
        trip, judged, shore: of which.
        path: of the log.
        width: of the screen.
        twins: numbers of other trips to the same spot at the same hours.
    """
    units = shore.head.units
    lines = [INVENTED] if shore.head.invented else []
    lines += [
        f"Trip {trip.number} {done} in {path}.",
        texts.trip_words(trip, units),
        texts.forecast_words(trip.forecast),
    ]
    if twins and trip.removed_at is None:
        names = ", ".join(map(str, twins))
        lines.append(
            f"The same spot and hours are those of trip {names}: if it is one trip, take one out "
            f"(ebblight log edit FILE {trip.number} --remove)."
        )
    text = "\n".join(paragraph(line, width) for line in lines)
    ruled = texts.judgement_lines(judged, units)
    if ruled and not shore.rules:
        text = "\n".join([text, paragraph(texts.NO_RULES, width)])
    elif ruled:
        folded = [paragraph(line, width, indent=2, hanging=2) for line in ruled]
        text = "\n".join([text, "Keep or release, by the rules of the file:", *folded])
    return f"{text}\n{SHORT}\n"


def report_text(report: LogReport, width: int, sliced: bool) -> str:
    """The verdict, rates by bands of points, and what the numbers rest on."""
    counts = report.counts
    whose = "all fish" if report.species is None else plain(report.species)
    head = [texts.verdict_words(report)]
    if report.all is not None:
        head.append(
            f"{texts.trips_words(len(counts))}, {report.all.effort:.1f} angler-hours, "
            f"{report.all.caught} fish ({whose}); {texts.trips_words(report.all.blank)} without."
        )
    parts = ["\n".join(paragraph(line, width) for line in head)]
    if report.bands:
        parts.append(_bands(report, width))
    tail = [*texts.basis_lines(report), *([texts.SLICES] if sliced else [])]
    parts.append("\n".join(paragraph(line, width) for line in tail))
    return "\n\n".join([*parts, SHORT]) + "\n"


def _bands(report: LogReport, width: int) -> str:
    columns = [
        Column("Points"),
        *(
            Column(name, right=True)
            for name in ("Trips", "Without fish", "Angler-h", "Fish", "Fish an angler-h", "95 % interval")
        ),
    ]
    rows = [
        [
            f"{band.low:.0f} to {band.high:.0f}",
            str(band.rate.trips),
            str(band.rate.blank),
            f"{band.rate.effort:.1f}",
            str(band.rate.caught),
            f"{band.rate.rate:.2f}",
            f"{band.rate.low:.2f} to {band.rate.high:.2f}",
        ]
        for band in reversed(report.bands)
    ]
    return table(columns, rows, width)


def lessons_text(lessons: Sequence[Lesson], shore: Shore, width: int, written: str | None) -> str:
    """What the trips teach, and the lines for the file.

    Args:
        lessons: of a file.
        shore: what it says now.
        width: columns of the screen.
        written: name of the file that they were written into; None where they are to be pasted.
    """
    head = [INVENTED] if shore.head.invented else []
    if not lessons:
        return "\n".join([*head, paragraph(lesson_texts.NOTHING, width)]) + "\n"
    lines = [*head]
    lines += [paragraph(lesson_texts.lesson_words(lesson), width, hanging=2) for lesson in lessons]
    changes = [lesson for lesson in lessons if lesson.value is not None]
    if changes and written is None:
        lines += ["", lesson_texts.PASTE, "", paste_lines(changes)]
    elif changes:
        told = "1 setting" if len(changes) == 1 else f"{len(changes)} settings"
        lines += ["", f"{written}: {told} {lesson_texts.WRITTEN}"]
    return "\n".join(lines) + "\n"


def paste_lines(lessons: Sequence[Lesson]) -> str:
    """TOML lines, under a comment that says which table they belong to."""
    lines: list[str] = []
    for lesson in lessons:
        setting, value = lesson.setting, lesson.value
        where = f'[[{setting.table}]] with id = "{lesson.owner}"' if lesson.owner else f"[{setting.table}]"
        *inner, last = setting.keys
        if isinstance(value, dict):
            told = ", ".join(f"{key} = {whole(item)}" for key, item in value.items())
            text = f"{{ {told} }}"
        else:
            text = "" if value is None else str(whole(value))
        key = ".".join((*inner, last))
        lines += [f"# in {where}", f"{key} = {text}  # {lesson_texts.comment_words(lesson)}"]
    return "\n".join(lines)
