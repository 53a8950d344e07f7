"""Predicted currents against observed ones: one sentence, then what is off."""

from typing import TYPE_CHECKING

from harmonics.records.speeds import SpeedProof
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.render.records.frames import instants
from windows.render.records.results import Result
from windows.render.records.tables import header, known
from windows.render.text.layout import paragraph
from windows.render.words import cautions
from windows.render.words.phrases import Words
from windows.render.words.speed_proof import speed_headline, speed_lines
from windows.shoreline.head import Head

if TYPE_CHECKING:
    import pandas as pd


def speed_proof_result(proof: SpeedProof, head: Head, made_at: float, width: int) -> Result:
    """In every form: text, a row a reading, scores in the header."""
    words = Words(head.zone, head.units)

    def text() -> str:
        top = [cautions.INVENTED] if head.invented else []
        lines = [*top, paragraph(speed_headline(proof, words), width), ""]
        lines += [paragraph(line, width) for line in speed_lines(proof)]
        return "\n".join([*lines, "", paragraph(cautions.SHORT, width)]) + "\n"

    def frame() -> "pd.DataFrame":
        import pandas as pd

        when = instants(proof.t, head.zone)
        return pd.DataFrame(
            {
                "current": proof.station.id,
                "time_utc": when.utc,
                "time_local": when.local,
                "observed_kn": proof.observed / METRES_PER_SECOND_PER_KNOT,
                "predicted_kn": proof.predicted / METRES_PER_SECOND_PER_KNOT,
            }
        )

    def told() -> dict[str, object]:
        scores = {
            "mean_kn": proof.mean / METRES_PER_SECOND_PER_KNOT,
            "deviation_kn": proof.deviation / METRES_PER_SECOND_PER_KNOT,
            "observed_deviation_kn": proof.drift / METRES_PER_SECOND_PER_KNOT,
            "strength": proof.strength,
            "right_direction": proof.right,
            "slack_late_min": proof.late / 60.0,
            "slack_deviation_min": proof.late_spread / 60.0,
            "slacks_found": proof.slacks,
            "slacks_missing": proof.missing,
        }
        named_first = {"current": proof.station.id, "sentence": speed_headline(proof, words)}
        return {**header(head, made_at), **named_first, **known(scores)}

    return Result(text, frame, told)
