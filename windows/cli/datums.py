"""`datums`: tidal datums and ranges of a station."""

import math
from pathlib import Path

import click

from windows.cli.options import emit, file_argument, now_of, output_options, width
from windows.cli.water import chosen_station, header_of

_NAMES = ["hat", "mhhw", "mhw", "mtl", "dtl", "msl", "mlw", "mllw", "lat"]


@click.command()
@file_argument
@click.option("--station", help="Id of a station of the file.")
@click.option(
    "--first-year", type=click.IntRange(1000, 2900), default=1983, show_default=True, help="Of 19 years."
)
@click.option(
    "--above",
    type=click.Choice(_NAMES, case_sensitive=False),
    help="Count heights from this datum, and say the mean_level that puts the station's file on it.",
)
@output_options
@click.pass_context
def datums(
    ctx: click.Context,
    file: Path,
    station: str | None,
    first_year: int,
    above: str | None,
    form: str,
    output: Path | None,
) -> None:
    """Tidal datums over 19 years of prediction, ranges, kind and age of the tide."""
    from dataclasses import replace

    from harmonics.errors import EbblightError
    from harmonics.stations.datums import EPOCH_YEARS, tide_character
    from harmonics.stations.datums import datums as compute
    from harmonics.stations.types import Station
    from windows.render.records.results import Result
    from windows.render.text.analysis import datums_frame, datums_header, datums_text
    from windows.render.text.layout import paragraph
    from windows.render.words.cautions import INVENTED
    from windows.shoreline.shore import read_shore

    now = now_of(ctx)
    shore = read_shore(file)
    place = chosen_station(shore, station, None)
    if not isinstance(place, Station):
        raise EbblightError(
            f"{file}: station '{place.id}' follows '{place.reference.id}'; "
            "datums need constituents of its own"
        )
    found = compute(place, first_year)
    name = place.datum
    zero = 0.0 if above is None else found.named(above)
    if math.isnan(zero):
        raise EbblightError(f"{file}: station '{place.id}' has no high and low waters, so no {above}")
    if above is not None:
        found = replace(found, **{key: found.named(key) - zero for key in _NAMES})
        name = above.upper()
    epoch = f"{first_year} to {first_year + EPOCH_YEARS - 1}"
    character = tide_character(place.constants)
    unit = shore.units
    lines = [INVENTED] if shore.invented else []
    lines.append(paragraph(f"{shore.title}, {place.name}; heights in {unit.value} above {name}", width()))
    if above is not None:
        lines += [paragraph(text, width()) for text in _for_the_file(place.datum, name, zero, found.msl)]
    head = "\n".join(lines)
    result = Result(
        lambda: datums_text(head, found, character, epoch, unit, width()),
        lambda: datums_frame(place.id, found),
        lambda: header_of(
            shore,
            now,
            station=place.id,
            name=place.name,
            datum=name,
            **datums_header(found, character, epoch),
        ),
    )
    emit(result, form, output)


def _for_the_file(old: str, new: str, zero: float, mean_level: float) -> tuple[str, str]:
    """What puts a station's file on another datum, in sentences.

    Args:
        old, new: names of the datums.
        zero: the new one above the old, metres.
        mean_level: mean sea level above the new one, metres.
    """
    from harmonics.units import METRES_PER_FOOT

    return (
        f'For the file: datum = "{new}", and mean_level = {mean_level:.4f} where length_unit is "metres", '
        f'{mean_level / METRES_PER_FOOT:.4f} where it is "feet".',
        f"Heights above {old} (limits of spots, banks) become heights above {new} by adding "
        f"{0.0 - zero:+.4f} m or {0.0 - zero / METRES_PER_FOOT:+.4f} ft.",
    )
