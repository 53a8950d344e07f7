"""What `check` says of real gauges and of the demos: `python -m tests.windows.false_alarms`.

Constants and datums: NOAA CO-OPS, source lines in tests/published. Each gauge is laid out as its tables are
published, against four datums, in metres and in feet, and then with one mistake at a time.
"""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import click

from harmonics.errors import FileProblemsError
from harmonics.files.checking import load_document
from tests.coasts import STATION_IDS, published_head
from tests.conftest import published_rows
from windows.shoreline.plausible import STANDING_YEAR, impossible, look
from windows.shoreline.plausible.mean_levels import RULES, rule_of, usual
from windows.shoreline.shore import read_possible_shore, read_shore

DATUMS = ("MLLW", "MLW", "LAT", "MSL")
FOOT = 0.3048
REPOSITORY = Path(__file__).parents[2]


class Found(NamedTuple):
    """What was said of one file."""

    name: str
    refused: tuple[str, ...]
    odd: tuple[str, ...]


def gauge(identifier: str, datum: str, unit: str, **changed: object) -> str:
    """A station file of a real gauge with a spot beside it."""
    (row,) = [row for row in published_rows("datums.csv") if row["station"] == identifier]
    size = FOOT if unit == "feet" else 1.0
    head = published_head(identifier)
    table = published_rows(f"constituents_{identifier}.csv")
    waves = ", ".join(
        f'{{ name = "{line["name"]}", amplitude = {float(line["amplitude"]) / size:.4f}, '
        f"phase = {line['phase']} }}"
        for line in table
        if float(line["amplitude"]) > 0
    )
    keys = {
        "latitude": head.latitude,
        "longitude": head.longitude,
        "mean_level": round((float(row["MSL"]) - float(row[datum])) / size, 3),
        "length_unit": f'"{unit}"',
        **changed,
    }
    station = "\n".join(f"{key} = {value}" for key, value in keys.items())
    return (
        f'title = "{row["name"]}"\ntime_zone = "{head.zone}"\nunits = "{unit}"\n'
        f'[[stations]]\nid = "gauge"\ndatum = "{datum}"\n{station}\nconstituents = [{waves}]\n'
        f'[[spots]]\nid = "dock"\nlatitude = {head.latitude + 0.02}\nlongitude = {head.longitude + 0.01}\n'
    )


def said(text: str, name: str) -> Found:
    """What is refused in a file, and what is under "Worth a look"."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shore.toml"
        path.write_text(text, encoding="utf-8")
        return of_file(path, name)


def of_file(path: Path, name: str) -> Found:
    """The same of a file that is there."""
    try:
        shore = read_possible_shore(path)
    except FileProblemsError as error:
        return Found(name, tuple(map(str, error.problems)), ())
    document = load_document(path)
    assert impossible(shore, document) == ()
    odd = (f"{item.where}: {item.kind.value}" for item in look(shore, document, STANDING_YEAR))
    return Found(name, (), tuple(odd))


def right() -> Iterator[Found]:
    """Files without a mistake: every gauge against every published datum, in both units, and the demos."""
    known = {row["station"]: row for row in published_rows("datums.csv")}
    for identifier in STATION_IDS:
        for datum in DATUMS:
            if known.get(identifier, {}).get(datum):
                for unit in ("metres", "feet"):
                    yield said(gauge(identifier, datum, unit), f"{identifier} {datum} {unit}")
    for folder in ("demo_stations", "demo_stations/recorded"):
        for path in sorted((REPOSITORY / folder).glob("*.toml")):
            yield of_file(path, path.name)


def wrong() -> Iterator[Found]:
    """Each gauge with one mistake; a whole table in the wrong unit agrees with itself and can't be seen."""
    for identifier in STATION_IDS:
        east = -published_head(identifier).longitude
        (row,) = [row for row in published_rows("datums.csv") if row["station"] == identifier]
        in_feet = round((float(row["MSL"]) - float(row["MLLW"])) / FOOT, 2)
        yield said(
            gauge(identifier, "MLLW", "metres", mean_level=in_feet), f"{identifier} mean level in feet"
        )
        yield said(gauge(identifier, "MLLW", "feet", length_unit='"metres"'), f"{identifier} all in feet")
        yield said(gauge(identifier, "MLLW", "metres", longitude=east), f"{identifier} west as east")
        yield said(gauge(identifier, "MLLW", "metres", mean_level=0.0), f"{identifier} mean level 0")


def bounds() -> Iterator[tuple[str, str, float, tuple[float, float]]]:
    """What each gauge's datum comes to beside its usual tide, and the bounds that go without a prediction."""
    for identifier in STATION_IDS:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "shore.toml"
            path.write_text(gauge(identifier, "MLLW", "metres"), encoding="utf-8")
            (station,) = read_shore(path).stations
        for datum in ("MLLW", "MLWS", "MLW", "LAT"):
            rule = rule_of(datum)
            assert rule in RULES
            yield identifier, datum, rule.expected(station, STANDING_YEAR) / usual(station), rule.within


if __name__ == "__main__":
    click.echo("Real gauges and demos without a mistake")
    for item in right():
        click.echo(f"  {item.name:28} refused {len(item.refused)}, odd {', '.join(item.odd) or 'nothing'}")
    click.echo("With one mistake")
    for item in wrong():
        click.echo(f"  {item.name:28} {'refused' if item.refused else f'odd: {len(item.odd)}'}")
    click.echo("Datums in usual amplitudes, and the bounds taken for any coast")
    for identifier, datum, ratio, within in bounds():
        click.echo(f"  {identifier} {datum:5} {ratio:5.2f}  {within[0]} to {within[1]}")
