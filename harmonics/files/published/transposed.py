"""Tables that lie on their side: constituents along the top, amplitudes and lags in rows below."""

from collections.abc import Sequence

from harmonics.files.published.columns import Role, column
from harmonics.files.published.layouts import known
from harmonics.files.published.lines import Line, Splitter, divided, is_rule

FEWEST = 3
"""Names along the top that make it one."""
_ROWS = (Role.AMPLITUDE, Role.PHASE, Role.SPEED)


def upright(lines: Sequence[Line]) -> Sequence[Line]:
    """The lines with each table that lies on its side stood up; the same where there is none."""
    found: list[Line] = []
    index, fewest = 0, FEWEST
    while index < len(lines):
        block = _block(lines, index, fewest)
        if block is None:
            found.append(lines[index])
            index += 1
            continue
        used, rows = block
        fewest = 1
        top = lines[index]
        labels = tuple(label for label, _ in rows)
        found.append(Line(top.number, "  ".join(labels), labels, top.name))
        for place, name in enumerate(rows[0][1]):
            cells = tuple(values[place] for _, values in rows)
            found.append(Line(top.number, "  ".join(cells), cells, f"{top.where}, {name}"))
        index += used
    return found


def _block(lines: Sequence[Line], index: int, fewest: int) -> tuple[int, list[tuple[str, list[str]]]] | None:
    """How many lines lie on their side from here, and each as its label and its values."""
    for splitter in (
        Splitter.CELLS,
        Splitter.TABS,
        Splitter.SEMICOLONS,
        Splitter.BARS,
        Splitter.COMMAS,
        Splitter.GAPS,
    ):
        top = divided(lines[index], splitter)
        if sum(known(cell) for cell in top[1:]) < max(fewest, len(top) - 1) or known(top[0]):
            continue
        rows: list[tuple[str, list[str]]] = [("Name", top[1:])]
        used = 1
        for line in lines[index + 1 : index + 12]:
            cells = divided(line, splitter)
            if is_rule(line.text):
                used += 1
                continue
            if len(cells) != len(top) or column(0, cells[0]).role not in _ROWS:
                break
            rows.append((cells[0], cells[1:]))
            used += 1
        if {column(0, label).role for label, _ in rows[1:]} >= {Role.AMPLITUDE, Role.PHASE}:
            return used, rows
    return None
