"""What forecasts of the past were worth at two published records; run as a module, it prints it.

NERRS SWMP record of Apalachicola Bay, Dry Bar: constants and response of the level from 2012, judged on 2013.
UHSLC record of Honolulu 2010: nine months learned, three judged. Sources are in the files' heads.
"""

from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from harmonics.records.weather import read_weather
from harmonics.units import LengthUnit
from tests.conftest import PUBLISHED
from tests.harmonics.dry_bar_response import judged
from tests.harmonics.records_of import dry_bar, fitted, honolulu
from windows.forecast.proving import Observed, make_proof
from windows.render.text.proof import proof_text
from windows.shoreline.head import Head
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Preferences, Spot


def proof_of(station, observed, first, zone="UTC", place=(50.1, -5.2), **options):
    """Of one spot beside a station that turns with its tide."""
    spot = Spot("edge", "Edge", *place, station, 0.0, Preferences())
    shore = Shore(
        Path("shore.toml"), Head("Shore", False, ZoneInfo(zone), LengthUnit.METRES), (station,), (), (spot,)
    )
    return make_proof(shore, station, shore.spots, observed, 0.0, first, **options)


def dry_bar_proof():
    weather = read_weather(PUBLISHED / "apalachicola_db_hourly.csv")
    observed = Observed(*dry_bar(), weather, "Dry Bar")
    station = fitted("dry bar", "2013-01-01")
    return proof_of(station, observed, date(2013, 1, 1), "America/New_York", (29.67, -85.06))


def honolulu_proof():
    observed = Observed(*honolulu(), None, "Honolulu")
    station = fitted("honolulu", "2010-10-01")
    return proof_of(station, observed, date(2010, 10, 1), "Pacific/Honolulu", (21.3, -157.9))


if __name__ == "__main__":
    for made in (dry_bar_proof(), honolulu_proof()):
        scores, error = made.hour_scores, made.error
        click.echo(proof_text(made, 100))
        click.echo(f"Brier score by the hour, share of the tide alone's: {scores.brier / scores.plain:.3f}")
        if error.with_weather is not None:
            share = error.with_weather / error.same_hours
            click.echo(f"Level with the weather as it was, share of that without: {share:.3f}")
        click.echo()
    for year, item in judged().items():
        click.echo(
            f"Dry Bar {year}, the other year learned: of {item.whole:.2f} m, {item.slow:.2f} of it slow, "
            f"weather leaves {item.left:.3f}; of what passes {item.left_of_passing:.3f}"
        )
