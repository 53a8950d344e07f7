"""The pieces that a published table is taken apart into: numbers, lines, cells, pages and documents."""

import json

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.published.documents import lines_of_json
from harmonics.files.published.lines import (
    Line,
    Piece,
    Splitter,
    columns_of,
    divided,
    header_cells,
    is_rule,
    lines_of_text,
    pieces,
    placed,
    uncommented,
)
from harmonics.files.published.numbers import CommaReading, absent, comma_reading, number, plain
from harmonics.files.published.pages import is_html, lines_of_html
from harmonics.files.published.transposed import upright


class TestNumbers:
    @pytest.mark.parametrize(
        ("cell", "value", "unit"),
        [
            ("1.5", 1.5, ""),
            (" -0.5 ", -0.5, ""),
            ("+.5e-2", 0.005, ""),
            ("5.", 5.0, ""),
            ("1 371.2", 1371.2, ""),
            ("1'371", 1371.0, ""),
            ("109.2°", 109.2, "°"),
            ("109.2 deg", 109.2, "°"),
            ("109.2 Deg.", 109.2, "°"),
            ("109 DEGREES", 109.0, "°"),
            ("0.5 m", 0.5, "m"),
            ("0.5 cm/s", 0.5, "cm/s"),
            ("12° 30'", 12.5, "°"),
            ("-12° 30", -12.5, "°"),
            ("-0° 30'", -0.5, "°"),
            ("12 ° 7,5 '", 12.125, "°"),
            ("12° 59.9'", 12 + 59.9 / 60, "°"),
        ],
    )
    def test_as_printed(self, cell, value, unit):
        assert number(cell).unit == unit
        assert number(cell).value == pytest.approx(value)

    @pytest.mark.parametrize(
        "cell", ["", "M2", "1,5", "1.2.3", "12° 60'", "0x5", "١", "9" * 41, "--", "1 37", "1e1000x5"]
    )
    def test_none(self, cell):
        assert number(cell) is None

    def test_the_longest(self):
        assert number("0" * 39 + "5").value == 5.0
        assert number("0" * 40 + "5") is None

    @pytest.mark.parametrize(
        ("cell", "commas", "value"),
        [
            ("0,143", CommaReading.DECIMAL, 0.143),
            ("-1,5e2", CommaReading.DECIMAL, -150.0),
            ("1.371,25", CommaReading.DECIMAL, 1371.25),
            ("1 371,25", CommaReading.DECIMAL, 1371.25),
            ("1,371", CommaReading.THOUSANDS, 1371.0),
            ("1,371.5", CommaReading.THOUSANDS, 1371.5),
            ("12,371,000", CommaReading.THOUSANDS, 12371000.0),
            ("0,143", CommaReading.THOUSANDS, None),
            ("1,371", CommaReading.NOTHING, None),
            ("1,371", CommaReading.DOUBT, None),
            ("1,371.5", CommaReading.DECIMAL, None),
            ("0,5 m", CommaReading.DECIMAL, 0.5),
        ],
    )
    def test_commas(self, cell, commas, value):
        found = number(cell, commas)
        assert (None if found is None else found.value) == value

    @pytest.mark.parametrize(
        ("cells", "reading"),
        [
            (["1.5", "M2"], CommaReading.NOTHING),
            (["1,371", "2,000"], CommaReading.DOUBT),
            (["1,371", "0,143"], CommaReading.DECIMAL),
            (["1,371", "109,2"], CommaReading.DECIMAL),
            (["1,371", "1,371.5"], CommaReading.THOUSANDS),
            (["1,371", "1.371,5"], CommaReading.DECIMAL),
            (["0,5 m"], CommaReading.DECIMAL),
            (["a, b"], CommaReading.NOTHING),
            (["1" * 40 + ",5", "1.5"], CommaReading.NOTHING),
            (["1" * 38 + ",5"], CommaReading.DECIMAL),
            (["1" * 60 + ",5", "0,5"], CommaReading.DECIMAL),
        ],
    )
    def test_what_commas_stand_for(self, cells, reading):
        assert comma_reading(cells) is reading

    def test_look_alikes(self):
        assert plain("−12º 30′ – M₂ — 5˚ ‘’`") == "-12° 30' - M2 - 5° ‘''"
        assert plain("a b") == "a b"

    @pytest.mark.parametrize(
        "cell", ["", " - ", "--", "---", ".", "..", "...", "*", "N/A", "na", "nil", "None", "null", "X"]
    )
    def test_nothing_there(self, cell):
        assert absent(cell)
        assert not absent("0")


class TestLines:
    def test_numbered_from_one_and_made_plain(self):
        assert lines_of_text("a\r\nM₂\n\nb") == [Line(1, "a"), Line(2, "M2"), Line(3, ""), Line(4, "b")]
        assert (Line(3, "x").where, Line(3, "x", name="keys").where) == ("line 3", "keys")

    @pytest.mark.parametrize(
        ("text", "rule"), [("", True), ("--- | ===", True), ("+~*.:#_", True), ("-a-", False)]
    )
    def test_rules(self, text, rule):
        assert is_rule(text) is rule

    @pytest.mark.parametrize("mark", ["# ", "#", "  %", "! ", "// ", "## "])
    def test_comments(self, mark):
        assert uncommented(mark + "M2  1.0 # b") == "M2  1.0 # b"
        assert uncommented("M2 # x") == "M2 # x"

    @pytest.mark.parametrize(
        ("text", "splitter", "cells"),
        [
            ("a\tb c", Splitter.TABS, ["a", "b c"]),
            ("a b", Splitter.TABS, []),
            ('"a;x"; b', Splitter.SEMICOLONS, ["a;x", "b"]),
            ("a, b", Splitter.COMMAS, ["a", "b"]),
            ("| a | b |", Splitter.BARS, ["a", "b"]),
            ("a b", Splitter.BARS, []),
            ("M2 x   1.0", Splitter.GAPS, ["M2 x", "1.0"]),
            ("M2 x   1.0", Splitter.SPACES, ["M2", "x", "1.0"]),
            ("a, b", Splitter.CELLS, []),
        ],
    )
    def test_divided(self, text, splitter, cells):
        assert divided(Line(1, text), splitter) == cells

    def test_cells_of_a_page_are_not_divided_again(self):
        line = Line(1, "a  b", ("a", "b, c"))
        assert divided(line, Splitter.CELLS) == ["a", "b, c"]
        assert divided(line, Splitter.COMMAS) == []
        assert header_cells(line, Splitter.SPACES) == []

    def test_a_long_line_is_cut(self):
        text = "a " * 3000
        assert len(divided(Line(1, text), Splitter.SPACES)) == 2000
        assert sum(len(piece.text) for piece in pieces(text)) <= 4000

    def test_a_unit_stays_with_its_title(self):
        line = Line(1, "Name Amp (ft) Phase [deg] Speed")
        assert header_cells(line, Splitter.SPACES) == ["Name", "Amp (ft)", "Phase [deg]", "Speed"]
        assert header_cells(Line(1, "a  b (m)"), Splitter.GAPS) == ["a", "b (m)"]

    def test_pieces_stand_under_their_columns(self):
        whole = [pieces("M2     1.5   100"), pieces("K1    10.55   20")]
        spans = columns_of(whole)
        assert whole[0] == [Piece("M2", 0, 2), Piece("1.5", 7, 10), Piece("100", 13, 16)]
        assert spans == [(0, 2), (6, 11), (13, 16)]
        assert placed(pieces("S2           10"), spans) == ["S2", "", "10"]
        assert placed(pieces("S2 "), spans) == ["S2", "", ""]
        assert placed([Piece("a", 6, 7), Piece("b", 9, 11)], spans) is None
        assert placed([Piece("a", 11, 13)], spans) is None
        assert placed([Piece("a", 0, 1)], []) is None
        assert placed([Piece("wide", 8, 14)], spans) == ["", "wide", ""]


class TestPages:
    @pytest.mark.parametrize("text", ["<html>", " <!DOCTYPE  html>", "x <table>", "< pre>", "<div ", "<tr>"])
    def test_what_is_a_page(self, text):
        assert is_html(text)

    @pytest.mark.parametrize("text", ["a < b", "<trail>", "M2,1.0", "<p>"])
    def test_what_is_none(self, text):
        assert not is_html(text)

    def test_rows_have_cells_and_text_between_has_none(self):
        text = """<html><head><title> Port </title><script>x</script></head><body>
<p>Amplitudes <b>in</b> feet</p><style>y</style>after<br>break
<table><tr><th>Name<th>H</tr>
<tr><td>M<sub>2</sub></td><td> 1.5 </td></tr></table>
<select><option>no</option></select>
<table><tr><td>other</table></body></html>"""
        found = lines_of_html(text, "p.html")
        assert [(line.text, line.cells, line.table) for line in found] == [
            ("Port", None, 0),
            ("Amplitudes in feet", None, 0),
            ("after", None, 0),
            ("break", None, 0),
            ("Name  H", ("Name", "H"), 1),
            ("M2  1.5", ("M2", "1.5"), 1),
            ("other", ("other",), 2),
        ]
        assert [line.number for line in found[4:]] == [3, 4, 6]

    def test_cells_that_span(self):
        text = (
            "<table><tr><th rowspan=2>Name<th colspan=2>M</tr><tr><th>H<th>G</tr>"
            "<tr><td>M2<td colspan='x'>1<td rowspan='0'>2</tr></table>"
        )
        assert [line.cells for line in lines_of_html(text, "p")] == [
            ("Name", "M", "M"),
            ("Name", "H", "G"),
            ("M2", "1", "2"),
        ]

    def test_a_cell_that_spans_three_rows_and_two_columns(self):
        text = (
            "<table><tr><td rowspan=3 colspan=2>a<td>1</tr><tr><td>2</tr><tr><td>3</tr><tr><td>4</tr></table>"
        )
        assert [line.cells for line in lines_of_html(text, "p")] == [
            ("a", "a", "1"),
            ("a", "a", "2"),
            ("a", "a", "3"),
            ("4",),
        ]

    def test_a_table_inside_a_cell_is_read_by_itself(self):
        text = "<table><tr><td><div><table><tr><td>M2<td>1</tr></table></div><td>x</tr></table>"
        assert [(line.cells, line.table) for line in lines_of_html(text, "p")] == [
            (("", "x"), 1),
            (("M2", "1"), 2),
        ]

    def test_text_as_it_was_set(self):
        found = lines_of_html("<body>\n<pre>M2  1.0\nS2   .5</pre>", "p")
        assert [(line.text, line.number) for line in found] == [("M2  1.0", 2), ("S2   .5", 3)]

    @pytest.mark.parametrize(
        ("text", "found"),
        [
            ("<table>" + "<tr>" * 200_001, "HTML of more than 200,000 elements"),
            ("<div>" * 5000 + "x", "HTML nested too deeply"),
            ("", "HTML that can't be read"),
        ],
    )
    def test_pages_that_are_refused(self, text, found):
        with pytest.raises(FileProblemsError) as caught:
            lines_of_html(text, "p.html")
        assert str(caught.value) == (
            f"p.html: 1 problem\n  file: found {found}; expected a page saved with its table"
        )


class TestDocuments:
    def test_head_keys_and_rows(self):
        document = {
            "units": "feet",
            "station": {"name": "Port  A", "open": True, "more": {"x": 1}},
            "none": None,
            "constituents": [{"name": "M₂", "amplitude": 1.5}, {"name": "S2", "phase": 20, "x": [1]}],
            "empty": [],
        }
        found = lines_of_json(json.dumps(document), "t.json")
        assert [(line.where, line.cells) for line in found] == [
            ("key units", ("units", "feet")),
            ("key name", ("name", "Port A")),
            ("key open", ("open", "true")),
            ("key none", ("none", "")),
            ("keys", ("name", "amplitude", "phase", "x")),
            ("constituent 1", ("M2", "1.5", "", "")),
            ("constituent 2", ("S2", "", "20", "a list")),
        ]
        assert found[0].text == "units: feet"
        assert found[4].text == "name  amplitude  phase  x"
        assert [line.text for line in found[5:]] == ["M2  1.5", "S2  20  a list"]

    @pytest.mark.parametrize(
        ("text", "found", "expected"),
        [
            ("{", "text that is not JSON (Expecting property name", "a JSON table"),
            ("[" * 100_000, "text that is not JSON (brackets too deep", "a JSON table"),
            ("[]", "0 lists of constituents", "one list of objects"),
            ('{"a": [{}], "b": [{}]}', "2 lists of constituents", "one list of objects"),
            ('[1, {"a": 1}]', "0 lists of constituents", "one list of objects"),
            (
                json.dumps([{str(i): 1 for i in range(61)}]),
                "objects of 61 different keys",
                "name, amplitude and phase",
            ),
        ],
    )
    def test_what_is_refused(self, text, found, expected):
        with pytest.raises(FileProblemsError) as caught:
            lines_of_json(text, "t.json")
        (problem,) = caught.value.problems
        assert problem.where == "file"
        assert problem.found.startswith(found)
        assert problem.expected == expected

    def test_the_most_keys_and_the_longest_values(self):
        (keys, row) = lines_of_json(json.dumps([{str(i): "v" * 400 for i in range(60)}]), "t.json")
        assert len(keys.cells) == 60
        assert len(row.cells[0]) == 300
        (_, huge) = lines_of_json('[{"a": ' + "9" * 400 + "}]", "t.json")
        assert huge.cells == ("a huge whole number",)


class TestOnItsSide:
    def test_names_along_the_top(self):
        lines = lines_of_text("Port A\n,M2,S2,K1\n---\nAmplitude (m),1,0.5,0.2\nPhase,10,20,30\nend")
        assert [(line.where, line.cells or line.text, line.text) for line in upright(lines)] == [
            ("line 1", "Port A", "Port A"),
            ("line 2", ("Name", "Amplitude (m)", "Phase"), "Name  Amplitude (m)  Phase"),
            ("line 2, M2", ("M2", "1", "10"), "M2  1  10"),
            ("line 2, S2", ("S2", "0.5", "20"), "S2  0.5  20"),
            ("line 2, K1", ("K1", "0.2", "30"), "K1  0.2  30"),
            ("line 6", "end", "end"),
        ]

    def test_a_second_block_may_be_short(self):
        block = "x;M2;S2;K1\nAmplitude;1;2;3\nPhase;1;2;3\nx;O1\nAmplitude;4\nPhase;5"
        found = upright(lines_of_text(block))
        assert [line.cells[0] for line in found] == ["Name", "M2", "S2", "K1", "Name", "O1"]

    @pytest.mark.parametrize(
        "text",
        [
            "x,M2,S2\nAmplitude,1,2\nPhase,1,2",
            "M2,S2,K1,O1\nAmplitude,1,2,3\nPhase,1,2,3",
            "x,M2,S2,K1\nAmplitude,1,2,3\nPhase,1,2",
            "x,M2,S2,K1\nAmplitude,1,2,3",
            "x,M2,S2,zz\nAmplitude,1,2,3\nPhase,1,2,3",
        ],
    )
    def test_what_stands_already(self, text):
        lines = lines_of_text(text)
        assert upright(lines) == lines
