"""Colours of charts: text of every colour on paper reaches contrast AA."""

import pytest

from windows.render.chart.drawing import DARK, GLARE, LIGHT, RED


def luminance(colour):
    """Relative luminance (standard: WCAG 2.2, "relative luminance")."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first, second):
    """Contrast ratio (standard: WCAG 2.2, 1.4.3)."""
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("colours", [LIGHT, DARK, GLARE, RED], ids=["light", "dark", "glare", "red"])
def test_chart_colours_reach_contrast_aa(colours):
    for text in ("ink", "faint", "accent", "out"):
        assert contrast(colours[text], colours["paper"]) >= 4.5
    for mark in ("out", "in", "accent", "night", "rule" if colours is GLARE else "ink"):
        assert contrast(colours[mark], colours["paper"]) >= 3.0
    assert contrast(colours["ink"], colours["soft"]) >= 3.0  # the level over a session


def test_contrast_of_known_pairs():
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # from memory
