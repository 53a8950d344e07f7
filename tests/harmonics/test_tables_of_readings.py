"""Tables of readings as text: how columns divide, which rows count, what is no table, dates beside times."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.records import columns
from harmonics.records.columns import MOST_COLUMNS, pick, read_table, with_one_time, words_of


def table(text):
    headers, values, numbers = read_table(text, "a.csv")
    return headers, [column.tolist() for column in values], numbers.tolist()


def told(text):
    with pytest.raises(FileProblemsError) as caught:
        read_table(text, "a.csv")
    assert str(caught.value).startswith("a.csv: ")
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_and_ends_of_lines(separator, end):
    lines = ["# a; b, c", f" when {separator}x ", "", f"1{separator} 2 ", "  # note", f"3{separator}"]
    assert table(end.join(lines)) == (["when", "x"], [["1", "3"], ["2", ""]], [4, 6])


def test_the_separator_that_the_header_has_most_of():
    assert table('a;b;"c,d"\n1,5;2,5;3\n')[1] == [["1,5"], ["2,5"], ["3"]]
    assert table("a,b\n1;2,3\n")[1] == [["1;2"], ["3"]]


def test_texts_stay_as_they_are():
    assert table("a,b\n007,NA\n1e5,null\n")[1] == [["007", "1e5"], ["NA", "null"]]
    assert table('a,b\n"x, y",1\n')[1] == [["x, y"], ["1"]]


def test_rows_may_be_short_and_never_long():
    assert table("a,b,c\n1\n1,2,3\n")[1] == [["1", "1"], ["", "2"], ["", "3"]]
    assert told("a,b\n1,2\n1,2,3\n1,2,3,4\n") == [
        "line 3: found 3 fields; expected 2, as in the header",
        "line 4: found 4 fields; expected 2, as in the header",
    ]


def test_no_table():
    rows = "expected a header and a row for each reading"
    assert told("") == told("\n # x\n") == [f"file: found no text; {rows}"]
    assert told("a,b\n# x\n") == [f"file: found no rows under the header; {rows}"]
    assert told('a,b\n"1\n2",3\n') == [
        "file: found a text in quotation marks that runs over the end of its line; expected a row for each "
        "reading, on a line of its own"
    ]
    (line,) = told('a,b\n1,"2\n')
    assert line.startswith("file: found ") and line.endswith("; expected a CSV table")


def test_the_most_columns():
    names = [f"c{number}" for number in range(MOST_COLUMNS + 1)]
    assert len(table(",".join(names[1:]) + "\n1\n")[0]) == MOST_COLUMNS
    assert told(",".join(names) + "\n1\n") == ["header: found 201 columns; expected at most 200"]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_the_most_lines(monkeypatch, end):
    monkeypatch.setattr(columns, "MOST_LINES", 3)
    assert table(end.join(("a", "1", "2")) + end)[2] == [2, 3]
    assert told(end.join(("a", "1", "2", "3")) + end) == ["file: found 4 lines; expected at most 3"]


@pytest.mark.parametrize(
    ("headers", "joined"),
    [
        (["Date", "Time (GMT)", "x"], ["Time (GMT)", "x"]),
        (["x", "time", "date UTC"], ["time", "x"]),
        (["date", "x"], ["date", "x"]),
        (["date", "date 2", "time"], ["date", "date 2", "time"]),
        (["date", "time", "time 2"], ["date", "time", "time 2"]),
        (["date time", "time"], ["date time", "time"]),
        (["datetime", "x"], ["datetime", "x"]),
    ],
)
def test_a_date_and_a_time_of_day_are_one_time(headers, joined):
    found, values, _ = read_table(",".join(headers) + "\n" + ",".join(headers) + "\n", "a.csv")
    names, parts = with_one_time(found, values)
    assert names == joined
    date = next((name for name in headers if name.lower().startswith("date")), "")
    own = [column.tolist()[0] for column in parts]
    assert own == (joined if len(joined) == len(headers) else [f"{date} {joined[0]}", *joined[1:]])


def test_words_of_a_header():
    assert words_of("Level_m (MLLW), 2nd") == ["level", "m", "mllw", "nd"]
    assert words_of("12") == []


def test_the_only_column_of_a_kind():
    def found(headers, named=None):
        problems = []
        place = pick(headers, named, columns.TIME_HEADER, "times", "time_utc", problems)
        return place, [str(problem) for problem in problems]

    assert found(["x", "Time UTC"]) == (1, [])
    assert found(["x", "y"], "y") == (1, [])
    assert found(["x", "y"], "z") == (None, ["header: found no column 'z'; expected one of x, y"])
    expected = "expected one column of times, named as in 'time_utc'"
    assert found(["x", "y"]) == (None, [f"header: found columns x, y; {expected}"])
    assert found(["time", "x", "date"]) == (None, [f"header: found columns time, date; {expected}"])


@pytest.mark.parametrize(
    "word", "time date datetime timestamp when tid dato Zeit heure fecha hora TIME".split()
)
def test_words_for_times(word):
    assert columns.TIME_HEADER.search(word) and columns.TIME_HEADER.search(f"x {word} y")
    assert not columns.TIME_HEADER.search(f"x{word}y")
