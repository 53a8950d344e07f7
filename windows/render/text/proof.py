"""A proof for a terminal: one sentence, then reliability, scores, seasons and readings."""

from collections.abc import Sequence

from harmonics.records.verification import Tenth
from windows.forecast.proof import Proof
from windows.render.text.layout import Column, paragraph, table
from windows.render.words import cautions
from windows.render.words.phrases import words_of
from windows.render.words.proof import headline, lead_lines, method, score_lines, season_rows, title
from windows.render.words.safe_text import plain


def proof_text(proof: Proof, width: int) -> str:
    """The whole of it."""
    words = words_of(proof.head)
    top = [cautions.INVENTED] if proof.head.invented else []
    parts = [
        "\n".join([*top, paragraph(plain(title(proof)), width)]),
        paragraph(headline(proof, words), width),
    ]
    for what, found in (("sessions", proof.session_scores), ("hours", proof.hour_scores)):
        columns = [Column("Said of 100", right=True), Column("Came of 100", right=True)]
        parts.append(table([*columns, Column(what.capitalize(), right=True)], _tenths(found.tenths), width))
    parts.append("\n".join(paragraph(line, width) for line in score_lines(proof, words)))
    seasons = season_rows(proof, words)
    if seasons:
        columns = [
            Column("Season", fold=True),
            *(Column(name, right=True) for name in ("Sessions", "Said", "Came")),
        ]
        parts.append(table(columns, seasons, width))
    parts.append("\n".join(paragraph(line, width) for line in lead_lines(proof)))
    if proof.leads:
        columns = [Column(name, right=True) for name in ("Hours ahead", "Fading", "Kept whole", "Tide alone")]
        rows = [
            (f"{i.hours:.0f}", *(words.height(size, 2) for size in (i.fading, i.persistence, i.nothing)))
            for i in proof.leads
        ]
        parts.append(table(columns, rows, width))
    parts.append("\n".join(paragraph(line, width) for line in method(proof, words)))
    return "\n\n".join([*parts, paragraph(cautions.SHORT, width)]) + "\n"


def _tenths(tenths: Sequence[Tenth]) -> list[tuple[str, str, str]]:
    return [(f"{100 * item.said:.0f}", f"{100 * item.seen:.0f}", str(item.count)) for item in tenths]
