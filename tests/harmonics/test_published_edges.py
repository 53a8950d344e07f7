"""Pages and tables at their edges: what breaks a line, what is not seen, where a search ends."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import import_table
from harmonics.files.published import layouts
from harmonics.files.published.lines import Line, lines_of_text
from harmonics.files.published.pages import is_html, lines_of_html
from harmonics.files.published.statements import MOST_STATEMENTS, texts

HEAD = "Amplitudes in m, Greenwich phases\n"
TABLE = "name,amplitude,phase\nM2,1.5,10\nS2,0.5,20\n"


def texts_of(page):
    return [line.text for line in lines_of_html(page, "p")]


class TestPages:
    @pytest.mark.parametrize(
        "tag",
        "p div li ul ol h1 h2 h3 h4 h5 h6 dl dt dd section article header footer main nav form blockquote "
        "figure figcaption details summary".split(),
    )
    def test_what_breaks_a_line(self, tag):
        assert texts_of(f"<div>before<{tag}>inside</{tag}>after</div>") == ["before", "inside", "after"]

    @pytest.mark.parametrize("tag", ["br", "hr"])
    def test_what_breaks_it_and_holds_nothing(self, tag):
        assert texts_of(f"<div>before<{tag}>after</div>") == ["before", "after"]

    @pytest.mark.parametrize("tag", ["b", "i", "span", "sub", "sup", "a", "em"])
    def test_what_does_not(self, tag):
        assert texts_of(f"<div>M <{tag}>2</{tag}> x</div>") == ["M 2 x"]

    @pytest.mark.parametrize("tag", ["script", "style", "template", "noscript", "select", "svg", "button"])
    def test_what_is_not_seen(self, tag):
        assert texts_of(f"<div>before <{tag}>hidden</{tag}> after</div>") == ["before after"]
        cell = f"<table><tr><td>M2<{tag}>hidden</{tag}><td>1</tr></table>"
        assert [line.cells for line in lines_of_html(cell, "p")] == [("M2", "1")]

    @pytest.mark.parametrize("tag", ["br", "p", "div", "li"])
    def test_breaks_inside_a_cell_are_spaces_and_inside_set_text_lines(self, tag):
        inside = "<br>x" if tag == "br" else f"<{tag}>x</{tag}>"
        cell = f"<table><tr><td>M<sub>2</sub>{inside}</td><td>1</td></tr></table>"
        assert lines_of_html(cell, "p")[0].cells == ("M2 x", "1")
        assert texts_of("<body><pre>M2  1<br>S2  2</pre></body>") == ["M2  1", "S2  2"]

    def test_titles_of_page_and_table(self):
        page = "<html><head><title>Port</title></head><body><table><caption>Tide</caption><tr><td>M2</table>"
        assert texts_of(page) == ["Port", "Tide", "M2"]

    def test_words_of_a_row_are_told_once(self):
        (line,) = lines_of_html("<table><tr><td colspan=2>M2<td>1</tr></table>", "p")
        assert (line.text, line.cells) == ("M2  1", ("M2", "M2", "1"))

    @pytest.mark.parametrize(("span", "width"), [("499", 499), ("999", 500), ("1000", 1), ("0", 1), ("²", 1)])
    def test_how_far_a_cell_may_span(self, span, width):
        (line,) = lines_of_html(f"<table><tr><td colspan='{span}'>M2</tr></table>", "p")
        assert len(line.cells) == width

    def test_rows_without_words_are_none(self):
        assert lines_of_html("<table><tr><td> <td></tr><tr><td>M2</tr></table>", "p")[0].cells == ("M2",)

    def test_two_tables_in_one_cell(self):
        page = "<table><tr><td><table><tr><td>a</table><table><tr><td>b</table><td>c</table>"
        assert [(line.cells, line.table) for line in lines_of_html(page, "p")] == [
            (("", "c"), 1),
            (("a",), 2),
            (("b",), 3),
        ]

    def test_a_page_is_told_by_its_first_hundred_thousand_letters(self):
        assert is_html(" " * 99_990 + "<table>") and not is_html(" " * 100_000 + "<table>")


class TestTables:
    def test_a_remark_of_several_words_in_the_last_column(self):
        text = HEAD + "name amplitude phase remark\nM2 1.5 10 main lunar tide\nS2 0.5 20 solar\n"
        assert import_table(text, "t").constants.amplitude.tolist() == [1.5, 0.5]

    @pytest.mark.parametrize("first", [True, False])
    def test_of_two_columns_of_names_that_whose_names_are_known(self, first):
        titles, names = ("symbol,wave", "{0},{1}") if first else ("wave,symbol", "{1},{0}")
        rows = "".join(
            f"{names.format(*pair)},1.0,{lag}\n"
            for lag, pair in enumerate((("M2*", "lunar"), ("S2", "solar"), ("O1", "lunar")))
        )
        found = import_table(f"{HEAD}{titles},amplitude,phase\n{rows}", "t")
        assert [row.name for row in found.constants.constituents] == ["M2", "S2", "O1"]

    def test_empty_cells_behind_the_last(self):
        text = HEAD + "name,amplitude,phase\nM2,1.5,10,,\nS2,0.5,20,\n"
        assert import_table(text, "t").constants.phase_lag.tolist() == [10.0, 20.0]

    @pytest.mark.parametrize(("lines", "found"), [(19, True), (20, False)])
    def test_prose_that_looks_like_headers_is_read_so_far(self, lines, found, monkeypatch):
        monkeypatch.setattr(layouts, "MOST_HEADERS", 20)
        assert bool(layouts.find_layouts(lines_of_text("of phase\n" * lines + TABLE))) is found

    @pytest.mark.parametrize(("lines", "last"), [(MOST_STATEMENTS - 1, "end"), (MOST_STATEMENTS, "x")])
    def test_statements_are_read_so_far(self, lines, last):
        found = texts([Line(1, "x")] * lines + [Line(2, "end"), Line(3, "more")])
        assert (len(found), found[-1][1]) == (MOST_STATEMENTS, last)

    def test_cells_that_are_keys_and_values(self):
        said = {
            ("Units", "feet"): "Units: feet",
            ("Units", "", "feet"): "Units: feet",
            ("Units", "feet", "Phase", "local"): "Units: feet; Phase: local",
            ("a", "b", "c"): "a   b   c",
            ("a", "a", "b"): "a: b",
        }
        for cells, text in said.items():
            assert [item[1] for item in texts([Line(1, "", cells)])] == [text]
        assert texts([Line(1, "", ("", ""))]) == texts([Line(1, "----")]) == []

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            (
                HEAD + "name,amplitude,phase\nM2,1.5,10,5\n",
                "line 3: found 4 fields; expected 3, as in the header",
            ),
            (
                HEAD + "name  amplitude  phase\nM2   1.5\nS2   0.5   20\n",
                "line 3 phase: found ''; expected a phase lag in degrees from -360 to 720",
            ),
            (
                HEAD + "name,amplitude,phase\nM2,x,10\n",
                "line 3 amplitude: found 'x'; expected a number from 0 to 100",
            ),
            (
                HEAD + "name,amplitude,phase\nM2,1,10\nM2,1,10\n",
                "line 4 name: found M2 a second time; expected each name once",
            ),
            (
                HEAD + "name,amplitude,phase,speed\nM2,1,10,fast\n",
                "line 3 speed: found 'fast'; expected degrees an hour",
            ),
        ],
    )
    def test_rows_that_are_broken(self, text, told):
        with pytest.raises(FileProblemsError) as caught:
            import_table(text, "t")
        assert [str(problem) for problem in caught.value.problems] == [told]

    @pytest.mark.parametrize(
        ("separator", "number"), [(";", "0,5"), (";", "1.371,5"), ("\t", "1,371.5"), (",", "0.5")]
    )
    def test_a_name_that_nobody_knows_is_told_however_its_numbers_are_written(self, separator, number):
        lines = ("name|amplitude (mm)|phase GMT", f"M2|{number}|10", f"QQ9|{number}|20", f"S2|{number}|30")
        with pytest.raises(FileProblemsError) as caught:
            import_table("\n".join(lines).replace("|", separator), "t")
        assert [str(problem) for problem in caught.value.problems] == [
            "line 3 name: found unknown constituent 'QQ9'; expected a known name such as M2, S2, K1 or MS4"
        ]

    def test_a_short_row_of_decimal_commas_is_broken_and_no_prose(self):
        text = HEAD + "name amplitude phase\nM2 1,5 10,5\nS2 0,5\nK1 0,2 30,5\n"
        with pytest.raises(FileProblemsError) as caught:
            import_table(text, "t")
        assert [str(problem) for problem in caught.value.problems] == [
            "line 4: found 2 fields; expected 3, as in the header"
        ]

    def test_an_empty_speed_is_left_open(self):
        text = HEAD + "name,amplitude,phase,speed\nM2,1.5,10,28.984104\nS2,0.5,20,-\n"
        assert import_table(text, "t").constants.amplitude.tolist() == [1.5, 0.5]
