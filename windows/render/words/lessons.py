"""What trips teach, in words."""

from windows.log.lessons import Lesson, Part, Setting, Standing
from windows.render.words.safe_text import plain

_WHAT = {
    Setting.SLACK_LAG: ("the current turns", "min after high and low water", "turn noted"),
    Setting.DELAY: ("the current turns", "min behind its station", "turn noted"),
    Setting.STRONG_EBB: ("a strong ebb runs", "kn", "drift on a strong ebb"),
    Setting.FACTOR: ("the current runs", "times as fast as at its station", "drift on a strong ebb"),
    Setting.BARE_BELOW: (
        "the bank is bare below",
        "above datum",
        "time it was seen to bare or flood",
    ),
    Setting.SPEEDS: ("trips with fish", "kn", "trip with fish"),
    Setting.POINTS: ("shares of the factors", "points", "trip with a forecast"),
}
_ENDS = {"full_from": "eight in ten lay from", "full_to": "to"}


def lesson_words(lesson: Lesson) -> str:
    """One sentence or two: what was found, from how much, and what the file says."""
    who = f"{plain(lesson.name)}: " if lesson.name else "All spots: "
    what, unit, note = _WHAT[lesson.setting]
    notes = counted(lesson.notes, note)
    if lesson.standing is Standing.FEW:
        text = f"{who}{notes}; it takes {lesson.needed} to tell."
    elif lesson.standing is Standing.UNTRIED:
        text = f"{who}shares of the factors need more libraries: pip install 'ebblight[log]'."
    elif not lesson.parts:
        text = f"{who}{notes} do not ask for other shares than the file's."
    elif lesson.setting in {Setting.SPEEDS, Setting.POINTS}:
        found = ", ".join(_of_several(part) for part in lesson.parts)
        text = f"{who}{what}: {found} {unit}, from {notes}. {_follows(lesson)}"
    else:
        number = _number(lesson.parts[0])
        text = f"{who}{what} {number} {unit}, from {notes}. {_follows(lesson)}"
    if lesson.aside:
        text += f" Set aside: {counted(lesson.aside, 'note')} without a turn near."
    return text


def _number(part: Part) -> str:
    found = part.estimate
    return f"{found.value:g} (95 % interval {found.low:g} to {found.high:g})"


def _of_several(part: Part) -> str:
    found = part.estimate
    name = _ENDS.get(part.key, part.key)
    return f"{name} {found.value:.2g} ({found.low:.2g} to {found.high:.2g})"


def _follows(lesson: Lesson) -> str:
    if lesson.standing is Standing.AGREES:
        return "The file agrees."
    told = [part for part in lesson.parts if part.present is not None]
    if not told:
        return "The file does not say."
    if lesson.setting in {Setting.SPEEDS, Setting.POINTS}:
        return "Drawn towards the file's numbers, the more the fewer the trips."
    return f"The file says {told[0].present:g}."


def comment_words(lesson: Lesson) -> str:
    """What stands behind the line to paste."""
    if len(lesson.parts) == 1:
        found = lesson.parts[0].estimate
        return f"95 % interval {found.low:g} to {found.high:g}, {counted(lesson.notes, 'note')}"
    return f"from {counted(lesson.notes, 'trip')}"


def counted(count: int, what: str) -> str:
    """As 1 trip with fish, 12 trips with fish: the first word grows."""
    first, *others = what.split(" ")
    return " ".join([str(count), first if count == 1 else f"{first}s", *others])


NOTHING = (
    "No trip at this file's spots tells of its water yet. Note when the current turns (--turned-out, "
    "--turned-in), how fast you drift (--drift), when the bank bares (--bared, --covered)."
)
PASTE = "Lines to paste into the file, or write with --write:"
WRITTEN = "written into the file; its comments stay."
