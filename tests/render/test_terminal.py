"""Text for people: nothing lost at any width, nothing read as markup, every number that of the forecast."""

import re
from collections import Counter
from dataclasses import replace
from datetime import date
from functools import lru_cache

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from tests.cli.runs import DEMOS
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.reports import Forecast
from windows.render.text import terminal
from windows.render.text.layout import NARROWEST, Column, filled, paragraph, table
from windows.render.text.sessions import MOST_EXPLAINED
from windows.render.words import cautions
from windows.render.words.options import Why
from windows.render.words.ranks import rank_text
from windows.shoreline.shore import read_shore

WIDTHS = st.integers(1, 160)
LETTERS = st.characters(exclude_categories=("Cs", "Cc", "Cn", "Zl", "Zp", "Zs", "Cf", "Mn", "Me", "Mc"))
"""What a name may hold, but for unassigned signs, marks that combine, and blanks other than the usual."""
WORDS = st.text(LETTERS, min_size=1, max_size=24)
CELLS = st.lists(WORDS, max_size=5).map(" ".join)
NAMES = (
    "[red]Pier[/red]",
    "[link=x]quay[/]",
    ":anchor: rock",
    "{title} %s $HOME `ls`",
    "Café Ægir",
    "мыс Надежды",
    "岸壁の端",
    "רציף הים",
    "مرسى",
    "🎣 jetty 👩‍🚀",
    "<b>bold</b> & 'quoted' \"twice\"",
    "\\[escaped]",
)


@st.composite
def tables(draw):
    count = draw(st.integers(1, 6))
    columns = [Column(draw(WORDS), draw(st.booleans()), draw(st.booleans())) for _ in range(count)]
    rows = draw(st.lists(st.lists(CELLS, min_size=count, max_size=count), max_size=5))
    return columns, rows


def characters(*texts: str) -> Counter[str]:
    return Counter(char for text in texts for char in text if not char.isspace())


@given(tables(), WIDTHS)
@example(
    (
        [*[Column("0")] * 2, Column("0", fold=True), *[Column("000000")] * 2, Column("0", fold=True)],
        [["", "0 0 000", "0 0 0", "", "", "0000\u2f00"]],
    ),
    39,
)
def test_a_table_loses_no_character_of_any_cell(made, width):
    columns, rows = made
    text = table(columns, rows, width)
    wanted = characters(*(cell for row in rows for cell in row))
    assert not wanted - characters(text)
    if "─" in text:
        wanted += characters(*(column.heading for column in columns))
    else:  # each row as a paragraph that repeats the headings
        for column in columns:
            wanted += characters(*[column.heading] * len(rows))
    left = characters(text) - wanted
    assert set(left) <= set("─:;")
    assert not wanted - characters(text)


@given(tables(), st.integers(NARROWEST, 160))
def test_a_table_keeps_to_the_width(made, width):
    columns, rows = made
    for line in table(columns, rows, width).splitlines():
        # Only a row told as a paragraph may run over, where one word with its mark is longer than a line.
        assert cell_len(line) <= width or len(line.split()) == 1


@given(st.lists(WORDS, min_size=1, max_size=40), WIDTHS, st.integers(0, 6), st.integers(0, 6))
def test_a_paragraph_keeps_its_words_in_order_and_whole(words, width, indent, hanging):
    text = paragraph(" ".join(words), width, indent, hanging)
    assert text.split() == " ".join(words).split()
    first, *rest = text.split("\n")
    assert first.startswith(" " * indent)
    for line in rest:
        assert line.startswith(" " * (indent + hanging))
    for line in (first, *rest):
        assert cell_len(line) <= max(width, NARROWEST) or len(line.split()) == 1


@given(st.lists(WORDS, min_size=1, max_size=20), WIDTHS)
def test_items_side_by_side_stay_whole(items, width):
    text = filled(items, width)
    assert re.split(r" {3}|\n", text) == items
    assert all(len(line) <= width or line in items for line in text.split("\n"))


def test_columns_stand_under_their_headings():
    text = table([Column("Day"), Column("Level", right=True)], [["Mon", "1.5"], ["Tuesday", "-10.25"]], 60)
    head, _, first, second = text.splitlines()
    assert head.index("Day") == first.index("Mon") == second.index("Tuesday") == 0
    assert len(head) == len(first) == len(second)  # the right column ends in one line


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [40, 100])
def test_names_are_shown_as_they_are(name, width):
    assert name in " ".join(table([Column("Spot", fold=True)], [[name]], width).split())
    assert name in paragraph(name, width)


@lru_cache(maxsize=8)
def forecast_of(demo: int, days: int = 7) -> Forecast:
    shore = read_shore(DEMOS[demo])
    return make_forecast(shore, shore.spots, date(2026, 3, 27), days, Outlook(0.0))


VIEWS = (terminal.week, terminal.best, terminal.compare)


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("demo", range(len(DEMOS)))
@pytest.mark.parametrize("width", [1, 40, 60, 80, 100, 200])
def test_every_view_holds_the_same_words_at_every_width(view, demo, width):
    forecast = forecast_of(demo)
    widest, narrow = view(forecast, 400).split(), view(forecast, width).split()
    # A narrow table tells each row as a paragraph that repeats its headings; nothing may be missing there.
    missing = Counter(word.strip(":;") for word in widest) - Counter(word.strip(":;") for word in narrow)
    assert not {word for word in missing if set(word) != {"─"}}


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_coast_and_a_spot(view, name):
    forecast = forecast_of(0)
    report = replace(forecast.spots[0], spot=replace(forecast.spots[0].spot, name=name))
    renamed = replace(forecast, head=forecast.head._replace(title=name), spots=(report, *forecast.spots[1:]))
    text = view(renamed, 100)
    assert text.splitlines()[1].startswith(name)
    assert text.count(name) >= 2
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", text)


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("demo", range(len(DEMOS)))
def test_every_view_opens_with_the_notice_and_closes_with_the_cautions(view, demo):
    text = view(forecast_of(demo), 100)
    assert text.startswith(f"{cautions.INVENTED}\n")
    assert text.endswith(f"\n{cautions.SHORT}\n")
    folded = " ".join(text.split())
    for caution in (*cautions.FULL, cautions.SOLUNAR):
        assert caution in folded
    assert cautions.UNSEEN in folded
    made = forecast_of(demo)
    real = replace(made, head=made.head._replace(invented=False))
    assert "invented" not in view(real, 100).lower()


@pytest.mark.parametrize("demo", range(len(DEMOS)))
def test_each_explained_session_tells_its_own_numbers(demo):
    forecast = forecast_of(demo)
    text = " ".join(terminal.best(forecast, 100, Why.ALL).split())
    told = re.findall(
        r"(\d+=?)\. \w+ \d+ \w+, [^:]*?\d\d:\d\d-[^.]*?: (\d+\.\d) points = "
        r"flow (\d+\.\d) \+ light (\d+\.\d) \+ moon (\d+\.\d)",
        text,
    )
    assert len(told) == min(len(forecast.ranking), MOST_EXPLAINED)
    assert told
    order = dict.fromkeys((*forecast.firsts, *forecast.ranking))
    for (rank, *numbers), report in zip(told, order, strict=False):
        points = report.session.points
        exact = (points.total, points.flow, points.light, points.moon)
        assert rank == rank_text(report)
        total, *shares = (float(number) for number in numbers)
        assert total == pytest.approx(exact[0], abs=0.0500001)
        assert shares == pytest.approx(exact[1:], abs=0.1000001)
        assert sum(shares) == pytest.approx(total, abs=1e-9)
        assert sum(exact[1:]) == pytest.approx(points.total, abs=1e-9)


def test_the_moon_s_crossing_is_told_where_the_tide_fails():
    # The demo with one small tide a day: around 14 August 2026 the moon crosses the equator.
    (diurnal,) = [demo for demo in DEMOS if demo.stem == "pellaway_sound"]
    shore = read_shore(diurnal)
    spots = (shore.spot("railway-groyne"),)
    text = terminal.week(make_forecast(shore, spots, date(2026, 8, 10), 7, Outlook(0.0)), 100)
    assert "the water hardly moves" in text
    assert "the moon crosses the equator" in " ".join(text.split())


def test_a_tight_column_folds_only_where_the_table_would_not_fit():
    columns = [Column("Points, flow and light", tight=1), Column("Light")]
    rows = [["70 60+10", "dark"]]
    assert table(columns, rows, 40).splitlines()[0] == "Points, flow and light  Light"
    narrow = table(columns, rows, 20).splitlines()
    assert len(narrow) > 3 and "70 60+10" in narrow[-1] and ";" not in narrow[-1]


@pytest.mark.parametrize(
    ("width", "head"),
    [
        (60, "Day         Session  Points, in parts  Light"),
        (38, "Day         Session  in parts  Light"),
        (36, "Day        Session parts      Light"),
        (30, "Day     Session parts   Light"),
        (24, "Day: Mon 10 Aug; Session: 17:50; Points,"),
    ],
)
def test_a_table_is_drawn_closer_before_it_becomes_paragraphs(width, head):
    columns = (
        Column("Day", tight=2),
        Column("Session"),
        Column("Points, in parts", tight=1),
        Column("Light"),
    )
    lines = table(columns, [["Mon 10 Aug", "17:50", "77", "dark"]], width).splitlines()
    ruled = [i for i, line in enumerate(lines) if line.startswith("──")]
    assert lines[ruled[0] - 1 if ruled else 0] == head
