"""The picture: a real PNG of the right size, with letters in it, from the chart's own drawing."""

import io
import re
import struct
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from harmonics.errors import EbblightError
from windows.render.chart.phone import svg_phone
from windows.render.chart.picture import png, png_of
from windows.render.words.safe_text import without_pictographs


def decoded(data):
    """Pixels of an 8-bit RGBA PNG, shape (height, width, 4), by a library that checks its sums."""
    with Image.open(io.BytesIO(data), formats=["PNG"]) as image:
        assert image.mode == "RGBA"
        return np.asarray(image)


def test_one_day_fills_a_phone_in_width_and_holds_ink(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    pixels = decoded(png(made, made.spots[0].days[:1]))
    assert pixels.shape[1] == 1080
    assert 1000 < pixels.shape[0] < 1900
    assert (pixels[..., 3] == 255).all()
    paper, accent = (0xFC, 0xFB, 0xF7), (0x8A, 0x3B, 0x12)
    share = [(pixels[..., :3] == colour).all(axis=-1).mean() for colour in (paper, accent)]
    assert share[0] > 0.4
    assert share[1] > 0.002
    heading = pixels[80:150, :700, :3].astype(int).sum(axis=-1)
    assert (heading < 200).mean() > 0.01


def test_letters_come_with_the_package(coast):
    """The same picture of plain letters whether or not the machine has fonts of its own."""
    import resvg_py

    from windows.render.chart.picture import FONT

    svg = svg_phone(coast("2026-08-01", 1))
    with_letters = decoded(png_of(svg))
    width = with_letters.shape[1]
    bare = decoded(bytes(resvg_py.svg_to_bytes(svg_string=svg, width=width, skip_system_fonts=True)))
    assert FONT == "Source Sans Pro"
    assert (with_letters != bare).any(axis=-1).mean() > 0.005


def test_a_week_fits_a_phone_and_is_the_same_each_time(forecast):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    first = png(made)
    assert first == png(made)
    width, height = struct.unpack(">II", first[16:24])
    assert width == 1080 and 1.5 * width < height < 2.2 * width


def test_several_spots_stand_below_each_other_and_no_letter_is_small(forecast):
    made = forecast("skerrow_strand")
    svg = svg_phone(made)
    assert svg.startswith('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 ')
    said = text_of(svg)
    assert [name for name in said if name in {report.spot.name for report in made.spots}] == [
        report.spot.name for report in made.spots
    ]
    sizes = [float(size) for size in re.findall(r"font-size:([\d.]+)px", svg)]
    assert sizes and min(sizes) * 390 / 360 >= 13.0
    best = made.ranking[0]
    assert any(f"{best.session.points.total:.0f} points" in text for text in said)


def test_a_month_stays_within_what_viewers_open(forecast):
    data = png(forecast("pellaway_sound", days=31, spots=["railway-groyne"]))
    width, height = struct.unpack(">II", data[16:24])
    assert height <= 16000 and width > 500


def test_hostile_names_draw(coast, hostile):
    made = coast(
        "2026-08-01", 1, names={k: hostile[k] for k in ("script", "rtl", "emoji")}, title=hostile["long"]
    )
    assert struct.unpack(">I", png(made)[16:20]) == (1080,)


def text_of(svg):
    return [item.text for item in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


def test_emoji_leave_no_empty_boxes(coast):
    astronaut, flag, keycap = "\U0001f469\U0001f3fd\u200d\U0001f680", "\U0001f1f3\U0001f1ff", "5\ufe0f\u20e3"
    name = f"Ro\u0308d \U0001f3a3\U0001f9c2 jetty {astronaut} {keycap} {flag} \u2693 20\u00b0"
    plain = "Ro\u0308d jetty 5 20\u00b0"
    made, bare = (coast("2026-08-01", 1, names={"post": some}, title=some) for some in (name, plain))
    assert any("\U0001f3a3" in text for text in text_of(svg_phone(made)))
    assert png(made) == png(bare)
    only = coast("2026-08-01", 1, names={"post": "\U0001f3a3"}, title="Bay")
    assert png(only) == png(coast("2026-08-01", 1, names={"post": "(no name)"}, title="Bay"))


def test_letters_of_any_script_are_kept():
    for name in (
        "\u05de\u05d6\u05d7",
        "\u5cb8\u58c1\u306e\u7aef",
        "\u043c\u044b\u0441",
        "Caf\u00e9 \u2122 \u00bd",
        "a-b/c & 'd' <e>",
    ):
        assert without_pictographs(name) == name


@pytest.mark.parametrize("module", ["resvg_py", "font_source_sans_pro"])
def test_without_the_extra_the_message_says_what_to_install(forecast, monkeypatch, module):
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(EbblightError, match=rf"{module}.*ebblight\[picture\]"):
        png(forecast("pellaway_sound", days=1))
