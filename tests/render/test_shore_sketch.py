"""The sketch of the shore: places where they lie, a true scale, arrows along the set of the flow."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from windows.render.chart.shore import Sketch
from windows.render.page.document import best_page, compare_page, page

SVG = "{http://www.w3.org/2000/svg}"
EARTH = 6_371_000.0


def metres(one, other):
    """Great circle by the haversine formula, on a sphere of 6,371 km."""
    (a, b), (c, d) = ((math.radians(x), math.radians(y)) for x, y in (one, other))
    half = math.sin((c - a) / 2.0) ** 2 + math.cos(a) * math.cos(c) * math.sin((d - b) / 2.0) ** 2
    return 2.0 * EARTH * math.asin(math.sqrt(half))


def drawn(sketch):
    return ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{sketch.drawn()}</svg>')


def of_class(root, css):
    return [item for item in root.iter() if item.get("class") == css]


@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand", "korimako_reach"])
def test_places_lie_to_scale_north_up(forecast, name):
    made = forecast(name, days=1)
    root = drawn(Sketch(made, made.spots[0].days[0].start))
    spots = [report.spot for report in made.spots]
    discs = [(float(item.get("cx")), float(item.get("cy"))) for item in of_class(root, "place")]
    assert len(discs) == len(spots)
    (bar,) = [item.get("d") for item in of_class(root, "edge-ink") if "H" in item.get("d")]
    (said,) = [t.text for t in root.iter(f"{SVG}text") if re.fullmatch(r"[\d.]+ k?m", t.text or "")]
    long = float(said.split()[0]) * (1000.0 if said.endswith("km") else 1.0)
    scale = (float(re.search(r"H([\d.]+)", bar)[1]) - 8.0) / long
    for spot, disc in zip(spots[1:], discs[1:], strict=True):
        away = metres((spots[0].latitude, spots[0].longitude), (spot.latitude, spot.longitude))
        assert math.dist(disc, discs[0]) == pytest.approx(away * scale, abs=0.6)
        assert (disc[1] < discs[0][1]) == (spot.latitude > spots[0].latitude)
        assert (disc[0] > discs[0][0]) == (spot.longitude > spots[0].longitude)
    words = {item.text for item in root.iter(f"{SVG}text")}
    assert {spot.name for spot in spots} <= words


def test_arrows_point_where_the_water_sets_and_turn_with_it(forecast):
    made = forecast("skerrow_strand", days=1, spots=["narrows-rocks"])
    (report,) = made.spots
    ways = set()
    for hour in range(0, 24, 3):
        t = report.days[0].start + 3600.0 * hour
        root = drawn(Sketch(made, t))
        moving = np.interp(t, report.curve.t, report.curve.outgoing)
        (arrow,) = of_class(root, "flowing" if moving > 0 else "filling")
        x, y, to_x, to_y = (float(part) for part in re.findall(r"[\d.]+", arrow.get("d"))[:4])
        set_ = (report.spot.ebb_sets + (0.0 if moving > 0 else 180.0)) % 360.0
        bearing = math.degrees(math.atan2(to_x - x, y - to_y)) % 360.0
        assert abs((bearing - set_ + 180.0) % 360.0 - 180.0) < 1.0
        ways.add(moving > 0)
    assert ways == {True, False}
    assert not Sketch(forecast("pellaway_sound", days=1), 0.0).flows


def test_the_date_line_parts_nothing(coast):
    made = coast("2026-08-01", 1, zone="Pacific/Fiji", latitude=-17.0, longitude=179.999)
    (report,) = made.spots
    east = replace(report, spot=replace(report.spot, id="east", name="East post", longitude=-179.999))
    root = drawn(Sketch(replace(made, spots=(report, east)), report.days[0].start))
    west, over = (float(disc.get("cx")) for disc in of_class(root, "place"))
    away = metres((-17.0, 0.0), (-17.0, 0.002))
    assert over - west == pytest.approx(away * (170.0 / 400.0), rel=0.01)  # 400 m fill the height


@pytest.mark.parametrize("write", [page, best_page, compare_page])
@pytest.mark.parametrize("names", [{"post": "Mooring post"}, {"post": "Mooring post", "bar": "Bar"}])
def test_a_file_without_landings_or_banks_has_its_sketch_too(coast, write, names):
    made = coast("2026-08-01", 1, names=names)
    text = write(made)
    sketch = text[text.index('<details class="shore">') :]
    sketch = sketch[: sketch.index("</details>")]
    assert sketch.count('class="place"') == len(names)
    assert all(name in sketch for name in names.values())
    assert 'class="gauge"' in sketch and re.search(r">[\d.]+ k?m<", sketch)
