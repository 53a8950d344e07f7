"""`datums`: tidal datums and ranges of a station."""

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

    from harmonics.datums import EPOCH_YEARS, tide_character
    from harmonics.datums import datums as compute
    from harmonics.errors import EbblightError
    from harmonics.stations import Station
    from windows.render.analysis import datums_frame, datums_header, datums_text
    from windows.render.cautions import INVENTED
    from windows.render.layout import paragraph
    from windows.render.results import Result
    from windows.shore import read_shore

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
    if above is not None:
        zero = found.named(above)
        found = replace(found, **{key: found.named(key) - zero for key in _NAMES})
        name = above.upper()
    epoch = f"{first_year} to {first_year + EPOCH_YEARS - 1}"
    character = tide_character(place.constants)
    unit = shore.units
    lines = [INVENTED] if shore.invented else []
    lines.append(paragraph(f"{shore.title}, {place.name}; heights in {unit.value} above {name}", width()))
    if above is not None:
        lines.append(
            f'For the file: datum = "{name}", mean_level = {found.msl / unit.metres:.4f} ({unit.value})'
        )
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
