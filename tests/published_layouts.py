"""Published constants laid out as hydrographic offices print them, as text, as saved pages and as JSON.

Constants: NOAA CO-OPS, source lines in the files under tests/published. Layouts: common practice of printed
lists; the arrangement of no particular page.
"""

import html
import json
from collections.abc import Callable
from dataclasses import dataclass

from harmonics.catalogue.constituents import find
from tests.conftest import PUBLISHED, published_rows

FOOT = 0.3048
KNOT = 1852.0 / 3600.0
DESCRIPTIONS = {
    "M2": "Principal lunar semidiurnal",
    "S2": "Principal solar semidiurnal",
    "K1": "Lunisolar diurnal",
}


@dataclass(frozen=True)
class Constant:
    """One published constituent: metres or knots, Greenwich degrees."""

    name: str
    amplitude: float
    phase: float

    @property
    def speed(self) -> float:
        return find(self.name).speed

    def local(self, offset: float) -> float:
        """The lag on a clock `offset` hours from UTC (common practice)."""
        return (self.phase + self.speed * offset) % 360.0


def constants(name: str) -> list[Constant]:
    rows = published_rows(name)
    return [Constant(row["name"], float(row["amplitude"]), float(row["phase"])) for row in rows]


def tide(station: str) -> list[Constant]:
    return constants(f"constituents_{station}.csv")


def head(name: str) -> str:
    with (PUBLISHED / name).open(encoding="utf-8") as stream:
        return stream.readline()


@dataclass(frozen=True)
class Layout:
    """A table laid out, and what it says of itself.

    Attributes:
        make: its text from the constants.
        decimals: of the amplitudes as printed, in the table's unit; phases have one.
        si: metres, or knots, in the table's unit.
        says: what an import must find in it beside the constants.
    """

    make: Callable[[list[Constant]], str]
    decimals: int
    si: float = 1.0
    says: dict[str, object] | None = None


def tabs_feet_numbered(rows: list[Constant]) -> str:
    lines = [
        "Harmonic constituents for Boston",
        "Amplitudes are in feet. Phases are in degrees, referenced to GMT.",
        "Datum: MLLW",
        "",
        "Constituent #\tName\tAmplitude\tPhase\tSpeed\tDescription",
    ]
    for number, row in enumerate(rows, start=1):
        words = DESCRIPTIONS.get(row.name, "Shallow water, quarter diurnal")
        cells = (
            number,
            row.name,
            f"{row.amplitude / FOOT:.3f}",
            f"{row.phase:.1f}",
            f"{row.speed:.6f}",
            words,
        )
        lines.append("\t".join(map(str, cells)))
    return "\n".join([*lines, "", "Speeds are in degrees per hour.", "Printed 4 March 2024"])


def aligned_with_rules(rows: list[Constant]) -> str:
    lines = [
        "                     HARMONIC CONSTANTS OF THE TIDE",
        " STATION: BOSTON HARBOUR (8443970)     LAT 42 21.2 N   LONG 71 03.0 W",
        " DATUM: MLLW        Z0 = 1.586 m       TIME ZONE: UTC",
        " ------------------------------------------------------------------",
        "  No.   Constituent     H (m)     g (deg)    Speed (deg/h)",
        " ----   -----------    -------   --------   --------------",
    ]
    species = -1
    for number, row in enumerate(rows, start=1):
        if find(row.name).species != species:
            species = find(row.name).species
            lines.append("")
        lines.append(
            f" {number:4d}   {row.name:<11s}    {row.amplitude:7.3f}   {row.phase:8.1f}   {row.speed:14.7f}"
        )
    foot = " Computed from 369 days of hourly heights; node factors of mid-year."
    return "\n".join([*lines, lines[3], foot, ""])


def semicolons_decimal_commas(rows: list[Constant]) -> str:
    lines = [
        "Port : Boston",
        "Hauteurs en mètres au-dessus du zéro hydrographique",
        "",
        "Onde;Amplitude (cm);Phase G (°);Vitesse (°/h)",
    ]
    for row in rows:
        cells = (row.name, f"{row.amplitude * 100:.1f}", f"{row.phase:.1f}", f"{row.speed:.6f}")
        lines.append(";".join(cells).replace(".", ","))
    return "\n".join(lines)


def two_units_under_one_another(rows: list[Constant]) -> str:
    lines = [
        "# Tidal constants",
        "# Station name: Boston",
        "# Latitude: 42.3539  Longitude: -71.0503",
        "# Mean sea level 1.586 m above chart datum",
        "#",
        "Constituent   Amplitude    Phase lag    Speed",
        "                 (m)       (deg, UTC)   (deg/h)",
    ]
    for row in rows:
        lines.append(f"{row.name:<12s}  {row.amplitude:8.3f}    {row.phase:8.1f}°    {row.speed:10.6f}")
    return "\n".join([*lines, "", "# end of table"])


def millimetres_with_spaced_thousands(rows: list[Constant]) -> str:
    lines = [
        "Pegel: Boston",
        "Einheit der Amplituden: mm",
        "Phasen bezogen auf UTC",
        "",
        "Nr.\tTide\tAmplitude\tPhase",
    ]
    for number, row in enumerate(rows, start=1):
        size = f"{row.amplitude * 1000:,.0f}".replace(",", "\N{NARROW NO-BREAK SPACE}")
        lines.append(f"{number}\t{row.name}\t{size}\t{row.phase:.1f}".replace(".", ","))
    return "\n".join(lines)


def local_clock(rows: list[Constant]) -> str:
    lines = [
        "Station:    Boston",
        "Position:   42°21'14\"N 71°03'01\"W",
        "Chart Datum is MLLW; heights in metres.",
        "Phase lags g are for the time zone UTC-5.",
        "",
        "Name   H        g      cycles/hour",
    ]
    for row in rows:
        lines.append(f"{row.name:<6s} {row.amplitude:<8.3f} {row.local(-5.0):<9.4f}  {row.speed / 360:.9f}")
    return "\n".join(lines)


def both_lags_bars(rows: list[Constant]) -> str:
    titles = ("Constituent", "Amplitude (m)", "Phase (local, UTC-5)", "Phase (Greenwich)", "Period (hours)")
    lines = [f"| {' | '.join(titles)} |", f"|{'|'.join('-' * (len(title) + 2) for title in titles)}|"]
    for row in rows:
        cells = (
            row.name,
            f"{row.amplitude:.3f}",
            f"{row.local(-5.0):.1f}",
            f"{row.phase:.1f}",
            f"{360 / row.speed:.6f}",
        )
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join([*lines, "", "Phase lags in degrees."])


def side_by_side(rows: list[Constant]) -> str:
    half = (len(rows) + 1) // 2
    cell = "{0.name:<9s} {0.amplitude:7.3f}   {0.phase:6.1f}"
    lines = [
        "TIDAL CONSTANTS          Amplitudes in metres, lags on Greenwich",
        "",
        "Name       H        G°      Name       H        G°",
    ]
    for first in range(half):
        left = cell.format(rows[first])
        right = cell.format(rows[first + half]) if first + half < len(rows) else ""
        lines.append(f"{left}     {right}".rstrip())
    return "\n".join(lines)


def on_its_side(rows: list[Constant]) -> str:
    lines = ["Station,Boston", "Units,metres"]
    for first in range(0, len(rows), 8):
        some = rows[first : first + 8]
        lines.append("Constituent," + ",".join(row.name for row in some))
        lines.append("Amplitude," + ",".join(f"{row.amplitude:.3f}" for row in some))
        lines.append("Phase (GMT)," + ",".join(f"{row.phase:.1f}" for row in some))
        lines.append("")
    return "\n".join(lines)


def page_with_other_tables(rows: list[Constant]) -> str:
    body = [
        "<!DOCTYPE html><html><head><title>Boston: constants</title><style>td{padding:1px}</style>",
        "<script>var amplitude = 'Name Amplitude Phase';</script></head>",
        "<body><nav><ul><li>Home<li>Tides</ul></nav>",
        "<h1>Harmonic constants</h1><table><tr><th>Station name</th><td>Boston</td></tr>",
        "<tr><th>Latitude</th><td>42&deg; 21.2&prime; N</td></tr>",
        "<tr><th>Longitude</th><td>71&deg; 3.0&prime; W</td></tr>",
        "<tr><th>Datum</th><td>MLLW</td></tr></table>",
        "<table><tr><th>Level</th><th>Height (ft)</th><th>Meaning</th></tr>",
        "<tr><td>MHHW</td><td>10.27</td><td>mean higher high water</td></tr></table>",
        "<p>Amplitudes are given in metres and phases in degrees.</p>",
        "<table border=1><thead><tr><th rowspan=2>No.<th rowspan=2>Constituent<th rowspan=2>Amplitude",
        "<th colspan=2>Phase<th rowspan=2>Speed<tr><th>GMT<th>Local</thead><tbody>",
    ]
    for number, row in enumerate(rows, start=1):
        name = (
            html.escape(row.name[:-1]) + f"<sub>{row.name[-1]}</sub>" if row.name[-1].isdigit() else row.name
        )
        body.append(
            f"<tr><td>{number}</td><td><b>{name}</b></td><td>{row.amplitude:.3f}</td><td>{row.phase:.1f}&deg;</td>"
            f"<td>{row.local(-5.0):.1f}&deg;</td><td>{row.speed:.7f}</td></tr>"
        )
    return "\n".join([*body, "</tbody></table><footer><p>Questions: the office.</footer></body></html>"])


def page_of_plain_text(rows: list[Constant]) -> str:
    text = "\n".join(
        ["Constituent    Amplitude (ft)   G (deg)"]
        + [f"{row.name:<12s} {row.amplitude / FOOT:12.3f} {row.phase:12.1f}" for row in rows]
    )
    head = "<html><body><h2>Station: Boston</h2>"
    return f"{head}<pre>\n{html.escape(text)}\n</pre><p>Datum: MLLW</p></body></html>"


def json_with_head(rows: list[Constant]) -> str:
    items = [
        {
            "number": i,
            "name": row.name,
            "amplitude": round(row.amplitude / FOOT, 3),
            "phaseGMT": row.phase,
            "phaseLocal": round(row.local(-5.0), 1),
            "speed": round(row.speed, 7),
        }
        for i, row in enumerate(rows, start=1)
    ]
    return json.dumps({"station": {"name": "Boston", "lat": 42.3539}, "units": "feet", "constituents": items})


def greek_and_footnotes(rows: list[Constant]) -> str:
    greek = {"NU2": "ν2", "MU2": "μ2", "LAM2": "λ2", "RHO": "ρ1", "NU": "ν2", "MU": "μ2"}
    lines = [
        "Harmonic constants of Boston",
        "Heights in metres above MLLW",
        "",
        "Symbol,Amplitude H,Phase lag G,Amplitude error,Remark",
        "Z0,1.586,,,above MLLW",
    ]
    for row in rows:
        mark = "*" if row.amplitude < 0.01 else ""
        lines.append(
            f'{greek.get(row.name, row.name)}{mark},{row.amplitude:.3f},{row.phase:.1f},0.001,"small, or not"'
        )
    return "\n".join([*lines, "* smaller than a centimetre", "XYZ,see the office"])


TIDES = {
    "tabs, feet, numbered, footers": Layout(
        tabs_feet_numbered, 3, FOOT, {"station": "Boston", "datum": "MLLW"}
    ),
    "aligned with rules, Z0 and position": Layout(
        aligned_with_rules,
        3,
        says={
            "station": "BOSTON HARBOUR (8443970)",
            "latitude": 42.353333,
            "longitude": -71.05,
            "datum": "MLLW",
            "mean_level": 1.586,
        },
    ),
    "semicolons, centimetres, decimal commas": Layout(
        semicolons_decimal_commas, 1, 0.01, {"station": "Boston"}
    ),
    "comments and a line of units": Layout(
        two_units_under_one_another,
        3,
        says={
            "station": "Boston",
            "latitude": 42.3539,
            "longitude": -71.0503,
            "datum": "chart datum",
            "mean_level": 1.586,
        },
    ),
    "millimetres, spaced thousands": Layout(
        millimetres_with_spaced_thousands, 0, 0.001, {"station": "Boston"}
    ),
    "single spaces, local clock, cycles an hour": Layout(
        local_clock, 3, says={"latitude": 42.353889, "longitude": -71.050278, "datum": "MLLW"}
    ),
    "bars, both lags, periods": Layout(both_lags_bars, 3),
    "two blocks side by side": Layout(side_by_side, 3),
    "on its side": Layout(on_its_side, 3, says={"station": "Boston"}),
    "page with other tables": Layout(
        page_with_other_tables,
        3,
        says={"station": "Boston", "latitude": 42.353333, "longitude": -71.05, "datum": "MLLW"},
    ),
    "page of plain text": Layout(page_of_plain_text, 3, FOOT, {"station": "Boston", "datum": "MLLW"}),
    "json with a head": Layout(json_with_head, 3, FOOT),
    "greek letters, footnotes, Z0 as a row": Layout(
        greek_and_footnotes, 3, says={"station": "Boston", "datum": "MLLW", "mean_level": 1.586}
    ),
}
