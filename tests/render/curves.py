"""Curves as they travel in a page."""

import re

import numpy as np


def numbers(text):
    """A curve: letters for the steps, larger ones in brackets."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz012345678"
    parts = re.findall(r"\((-?\d+)\)|(\w)", text)
    assert "".join(f"({number})" if number else letter for number, letter in parts) == text
    return np.cumsum([int(number) if number else letters.index(letter) - 30 for number, letter in parts])
