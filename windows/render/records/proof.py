"""A proof as rows: one a session; its scores stand in the header of the JSON."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from windows.forecast.proof import Proof, Scores
from windows.render.records.frames import instants
from windows.render.records.tables import header, known, to_csv, to_json
from windows.render.words.phrases import words_of
from windows.render.words.proof import headline

if TYPE_CHECKING:
    import pandas as pd


def proof_frame(proof: Proof) -> "pd.DataFrame":
    """A row a session: times, expected points, the chance that was said, whether it came, levels (m)."""
    import pandas as pd

    start, end = (
        instants([getattr(i, name) for i in proof.sessions], proof.head.zone) for name in ("start", "end")
    )
    return pd.DataFrame(
        {
            "spot": [item.spot.id for item in proof.sessions],
            "session_start_utc": start.utc,
            "session_start_local": start.local,
            "session_end_utc": end.utc,
            "session_end_local": end.local,
            "points": [item.points for item in proof.sessions],
            "chance": [item.chance for item in proof.sessions],
            "came": [int(item.came) for item in proof.sessions],
            "level_low_m": [item.level_low for item in proof.sessions],
            "level_high_m": [item.level_high for item in proof.sessions],
            "level_m": [item.level for item in proof.sessions],
        }
    )


def proof_csv(proof: Proof) -> str:
    """The rows alone."""
    return to_csv(proof_frame(proof))


def proof_json(proof: Proof) -> str:
    """The rows after a header with the scores."""
    start, end = instants([proof.start, proof.end], proof.head.zone).utc
    return to_json(
        proof_frame(proof),
        {
            **header(proof.head, proof.made_at),
            "station": proof.station.id,
            "sentence": headline(proof, words_of(proof.head)),
            "judged_from_utc": start,
            "judged_to_utc": end,
            "constants": "first part" if proof.refitted else "file",
            "sessions_hidden_by_gaps": proof.hidden,
            "sessions": known(_scores(proof.session_scores)),
            "hours": known(_scores(proof.hour_scores)),
            "levels_in_range_of_eight_in_ten": known(proof.in_range),
            "turns": {
                "late_min": known(proof.turns.late / 60.0),
                "deviation_min": known(proof.turns.spread / 60.0),
                "found": proof.turns.found,
                "missing": proof.turns.missing,
            },
            "level_error_m": known(asdict(proof.error)),
            "weather_explains": proof.response,
            "readings_m": [asdict(item) for item in proof.leads],
        },
    )


def _scores(found: Scores) -> dict[str, Any]:
    return {
        "reliability": [asdict(item) for item in found.tenths],
        "brier": found.brier,
        "brier_tide_alone": found.plain,
        "brier_share_seen": found.climate,
    }
