"""Text files: encodings, what is no file or no text, and the words that say so."""

import re

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import EXPECTED, import_table, read_published
from harmonics.files.published.results import NoteKind
from harmonics.files.text_files import read_any_text, read_marked_text, read_text


@pytest.fixture
def file(tmp_path):
    def write(content: bytes):
        path = tmp_path / "a.txt"
        path.write_bytes(content)
        return path

    return write


def refusal(read, path, *arguments):
    with pytest.raises(FileProblemsError) as caught:
        read(path, "a list", *arguments)
    (problem,) = caught.value.problems
    assert (caught.value.path, problem.where) == (str(path), "file")
    return problem.found, problem.expected


def test_a_mark_is_left_out_or_kept(file):
    path = file("\ufeffwater å".encode())
    assert read_text(path, "a list") == "water å"
    assert read_marked_text(path, "a list") == "\ufeffwater å"
    assert read_any_text(path, "a list") == ("water å", False)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le", "cp1252"])
def test_older_encodings(file, encoding):
    mark = {"utf-16-be": b"\xfe\xff", "utf-16-le": b"\xff\xfe"}.get(encoding, b"")
    path = file(mark + "8° å".encode(encoding))
    assert read_any_text(path, "a list") == ("8° å", encoding == "cp1252")


@pytest.mark.parametrize("read", [read_text, read_any_text])
def test_a_file_of_the_greatest_size_is_read_and_one_more_byte_is_not(file, read):
    assert read(file(b"x" * 2000), "a list", 2000) in ("x" * 2000, ("x" * 2000, False))
    assert refusal(read, file(b"x" * 2001), 2000) == ("2,001 bytes", "a list of at most 2,000 bytes")


def test_what_is_no_text(file, tmp_path):
    assert refusal(read_text, file(b"abc\xff")) == ("bytes that are not UTF-8 text (at byte 3)", "a list")
    assert refusal(read_text, file(b"a\0b")) == ("a binary file", "a list")
    assert refusal(read_any_text, file(b"a\0b")) == ("a binary file", "a list")
    assert refusal(read_any_text, file(b"\xff\xfea")) == ("bytes that are no text", "a list")
    assert refusal(read_any_text, file(b"\x81")) == ("bytes that are no text", "a list")
    assert refusal(read_text, tmp_path) == ("a folder", "a list")
    assert refusal(read_text, tmp_path / "none") == ("no such file", "a list")
    assert refusal(read_text, tmp_path / "a.txt" / "b") == (
        "a file that can't be read (Not a directory)",
        "a list",
    )


def test_a_published_table_is_read_from_its_file(file):
    head = "Station: Ålesund\nAmplitudes in m, Greenwich phases\n"
    text = head + "name,amplitude,phase\nM2,1.0,100.0\nS2,0.5,20.0\n"
    plain, older = read_published(file(text.encode())), read_published(file(text.encode("cp1252")))
    assert [row.name for row in plain.constants.constituents] == ["M2", "S2"]
    kinds = [[note.kind for note in found.facts.notes] for found in (plain, older)]
    assert kinds == [[NoteKind.NO_SPEEDS], [NoteKind.NO_SPEEDS, NoteKind.NOT_UTF8]]
    assert older.facts.place.station.value == "Ålesund"


def test_a_published_table_that_is_none_names_the_file_and_what_was_expected(file, tmp_path):
    with pytest.raises(
        FileProblemsError,
        match=re.escape(f"none.csv: 1 problem\n  file: found no such file; expected {EXPECTED}"),
    ):
        read_published(tmp_path / "none.csv")
    with pytest.raises(
        FileProblemsError, match=r"found 4,194,305 bytes; expected .* of at most 4,194,304 bytes"
    ):
        read_published(file(b" " * (4 * 2**20 + 1)))
    assert EXPECTED == "a published table of constituents (text, CSV, a saved page or JSON)"


def test_a_table_of_too_many_lines():
    with pytest.raises(FileProblemsError) as caught:
        import_table("M2 1 2\n" * 100_001, "long.txt")
    assert [str(item) for item in caught.value.problems] == [
        f"file: found 100,001 lines; expected {EXPECTED} of 100,000 lines at most"
    ]


def test_a_file_that_may_not_be_read(file, monkeypatch):
    def refused(*_):
        raise PermissionError(13, "Permission denied")

    path = file(b"x")
    monkeypatch.setattr("harmonics.files.text_files._without_waiting", refused)
    assert refusal(read_text, path) == ("a file that may not be read", "a list")
