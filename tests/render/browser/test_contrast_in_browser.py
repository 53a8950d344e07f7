"""What must be told apart differs by 3:1 in luminance (WCAG 2.2, 1.4.11), measured from pixels.

In each colouring, as most eyes see it, without green (deuteranopia) and in greyscale, as Chromium shows both.
"""

import base64
import datetime as dt

import pytest

from windows.render.page.document import page

PLACES = """() => {
  const found = {}, at = (name, x, y) => { found[name] = [x, y]; };
  const box = (css, nth = 0) => document.querySelectorAll(css)[nth].getBoundingClientRect();
  const night = box('.hero .night'), dim = box('.hero .twilight'), low = box('.hero .low-light');
  const high = night.top + night.height / 4;
  at('night', night.left + night.width / 2, high);
  at('twilight above', dim.left + dim.width / 2, high);
  at('twilight', dim.left + dim.width / 2, dim.bottom - dim.height / 3);
  at('low light', low.left + low.width / 2, low.top + low.height / 2);
  at('frame of low light', low.left + low.width / 2, low.top + 0.1);
  at('day', low.left - 30, high);
  const best = box('.strip .top'), other = box('.strip .lesser', 6);
  at('best session', best.left + best.width / 2, best.bottom - 3.5);
  at('session', other.left + other.width / 2, other.bottom - 3.5);
  at('frame of a session', other.left + other.width / 2, other.bottom - 0.2);
  const run = box('.hero .run'), stripe = box('.hero .stripe'), edge = box('.hero .edge');
  at('outgoing', stripe.right + 20, run.bottom - 4);
  at('outgoing in the session', stripe.right - 4, run.bottom - 4);
  at('session in the hero', stripe.left + 8, run.top - 2);
  at('edge', edge.left, run.top + 2);
  at('paper', stripe.left - 25, run.top + 2);
  const line = document.querySelector('.hero .level'), m = line.getScreenCTM();
  const on = (share) => {
    const p = line.getPointAtLength(line.getTotalLength() * share);
    return [p.x * m.a + m.e, p.y * m.d + m.f];
  };
  at('level', ...on(0.05));
  const inside = on(0.5);
  at('level in the session', inside[0], inside[1]);
  return found;
}"""
APART = [
    ("night", "day"),
    ("night", "twilight above"),
    ("twilight", "day"),
    ("low light", "night"),
    ("low light", "twilight"),
    ("frame of low light", "day"),
    ("best session", "session"),
    ("frame of a session", "session"),
    ("outgoing", "paper"),
    ("outgoing in the session", "session in the hero"),
    ("edge", "paper"),
    ("level", "paper"),
    ("level in the session", "session in the hero"),
]
SHADES = """async ([source, places]) => {
  const image = new Image();
  image.src = 'data:image/png;base64,' + source;
  await image.decode();
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [image.width, image.height];
  const pen = canvas.getContext('2d');
  pen.drawImage(image, 0, 0);
  const shades = {};
  for (const [name, [x, y]] of Object.entries(places)) {
    const data = pen.getImageData(Math.floor(x * 2), Math.floor(y * 2), 1, 1).data;
    const parts = [...data].slice(0, 3).map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    shades[name] = 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
  }
  return shades;
}"""


@pytest.mark.parametrize("mode", ["light", "dark", "in glare", "red at night"])
def test_neighbouring_meanings_are_told_apart(forecast, opened, mode):
    made = forecast("skerrow_strand", spots=["narrows-rocks"])
    scheme = "dark" if mode == "dark" else "light"
    shown = opened(page(made), alone=True, color_scheme=scheme, device_scale_factor=2)
    desk = opened("<title>desk</title>")
    shown.page.clock.set_fixed_time(dt.datetime(2026, 8, 9, 12, tzinfo=dt.UTC))
    shown.page.reload()
    if mode not in {"light", "dark"}:
        shown.page.get_by_label(mode).check()
        shown.page.evaluate("scrollTo(0, 0)")
    session = shown.context.new_cdp_session(shown.page)
    places = shown.page.evaluate(PLACES)
    close = []
    for eyes in ("none", "deuteranopia", "achromatopsia"):
        session.send("Emulation.setEmulatedVisionDeficiency", {"type": eyes})
        source = base64.b64encode(shown.page.screenshot()).decode()
        shades = desk.page.evaluate(SHADES, [source, places])
        for one, other in APART:
            low, high = sorted((shades[one], shades[other]))
            contrast = (high + 0.05) / (low + 0.05)
            if contrast < 3.0:
                close.append(f"{eyes}: {one} and {other} {contrast:.2f}")
    assert close == []
