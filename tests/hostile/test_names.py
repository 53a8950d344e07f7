"""Names that would steer or hide: whatever is written of a coast holds none of their characters.

Rows for programs (csv, json) and files to work on keep names as they are: what reads them is no eye.
"""

import html
import re
import unicodedata

import pytest

from harmonics.errors import MOST_MARKS, printable
from tests.cli.runs import done, run
from tests.hostile.seeds import EVERY_KEY
from windows.render.words.safe_text import plain, unsteered

STEERING = "\u202e\u202d\u202a\u202b\u200e\u200f\u061c\u2066\u2067\u2028\u2029"
INVISIBLE = "\u200b\u2060\ufeff\u00ad\u034f\u3164\uffa0\u180e\ufe01\U000e0041\U000e007f\ufff9"
HIDDEN = STEERING + INVISIBLE
PILE = "e" + "\u0301" * 30
NAME = f"A{HIDDEN}\u200c{PILE}Z"
SHOWN = plain(NAME)
ASKED = {
    **dict.fromkeys(("tides", "levels", "datums"), ("--station", "pier")),
    "currents": ("--station", "narrows"),
}
COMMANDS = [
    *[("week", form) for form in ("table", "page", "svg", "ics", "text")],
    *[("best", form) for form in ("table", "page", "ics", "text")],
    *[("compare", form) for form in ("table", "page")],
    *[("plan", form) for form in ("table", "page", "svg", "ics", "text")],
    *[("now", form) for form in ("table", "page", "text")],
    *[(name, "table") for name in ("tides", "currents", "levels", "sky", "datums")],
]


@pytest.fixture(scope="module")
def coast(tmp_path_factory):
    """A file with every kind of table, each with that name."""
    folder = tmp_path_factory.mktemp("names")
    text = EVERY_KEY.decode()
    text = re.sub(r'(?m)^(name|title) = ".*"$', lambda found: f'{found[1]} = "{NAME}"', text)
    text = text.replace('observed = "readings.csv"\n', "")
    text = text.replace(
        'constituents_across = "table.csv"',
        'constituents_across = [{ name = "M2", amplitude = 0.1, phase = 9.0 }]',
    )
    path = folder / "shore.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_name_keeps_what_can_be_seen():
    assert SHOWN == "A e" + MOST_MARKS * "\u0301" + "Z"
    assert plain(HIDDEN) == "(no name)"
    assert plain("Vi\u1ec7t N\u0061\u0301\u0323m") == "Vi\u1ec7t N\u0061\u0301\u0323m"
    joined = "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645"
    assert plain(joined) == joined


@pytest.mark.parametrize(
    "mark", ["\u0e49", "\u05b8", "\u064b", "\u20dd", "\u0489", "\u0301\u200d", "\u0e31\u0301"]
)
def test_marks_of_no_script_pile_up(mark):
    for shown in (plain(f"e{mark * 40}f"), unsteered(f"e{mark * 40}f")):
        assert (
            1
            <= sum(unicodedata.category(char) == unicodedata.category(mark[0]) for char in shown)
            <= MOST_MARKS
        )
        assert len(shown) <= 2 * MOST_MARKS + 2
        assert (shown[0], shown[-1]) == ("e", "f")


@pytest.mark.parametrize(
    "name",
    [
        "B\u1ebfn Ngh\u00e9",
        "\u05e9\u05c1\u05b8\u05dc\u05d5\u05b9\u05dd",
        "\u0e17\u0e48\u0e32\u0e19\u0e49\u0e33",
        "\u0915\u094d\u0937",
    ],
)
def test_names_of_many_scripts_stay(name):
    assert plain(name) == unsteered(name) == name


def test_a_blank_of_braille_is_a_space():
    assert plain("Old\u2800Pier") == "Old Pier"
    assert plain("\u2800") == "(no name)"


@pytest.mark.parametrize("mark", ["\u0301", "\u05b8", "\u0e48", "\u0651", "\u20dd"])
def test_a_message_escapes_piles_of_marks(mark):
    assert printable("a" + 6 * mark + "b") == "a" + 6 * mark + "b"
    piled = printable("a" + 8 * mark + "b")
    assert piled == "a" + 6 * mark + 2 * ascii(mark)[1:-1] + "b"


@pytest.mark.parametrize(("command", "form"), COMMANDS, ids=lambda part: part)
def test_no_output_holds_them(coast, command, form):
    found = run(command, coast, "--format", form, *ASKED.get(command, ()))
    assert found.code == 0, found.err
    text = html.unescape(found.out.replace("\r\n ", "") + found.err)
    assert not set(text) & set(HIDDEN), [unicodedata.name(c, hex(ord(c))) for c in set(text) & set(HIDDEN)]
    assert "\u0301" * (MOST_MARKS + 1) not in text


def test_a_check_and_a_refusal_hold_none(coast, tmp_path):
    assert not set(done("check", coast)) & set(HIDDEN)
    path = tmp_path / "shore.toml"
    path.write_text(coast.read_text(encoding="utf-8").replace("latitude = 50.1\n", f'latitude = "{NAME}"\n'))
    refused = run("check", path)
    assert refused.code == 1
    assert not set(refused.err) & set(HIDDEN)
