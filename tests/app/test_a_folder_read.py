"""The folder that pages show: which files are its own, when one is read again, and who names a file."""

import os
import re
import shutil

import pytest

from harmonics.errors import OutputError
from tests.app.conftest import REPOSITORY
from tests.cli.records import coast as made
from windows.app import folder as folders
from windows.app.folder import Folder, revision_of
from windows.app.refusals import Refusal, RefusedError
from windows.shoreline.shore import read_shore

TEXT = made.HEAD + made.STATION + made.SPOT


@pytest.fixture
def place(tmp_path):
    """An empty folder inside one that has a station file."""
    (tmp_path / "outside.toml").write_text(TEXT, encoding="utf-8")
    found = tmp_path / "place"
    found.mkdir()
    return found


def written(place, *names: str) -> None:
    for name in names:
        (place / name).write_text(TEXT, encoding="utf-8")


def test_files_are_listed_in_order_but_those_hidden_and_those_that_lead_out(place, tmp_path):
    written(place, "b.toml", "a.toml", "B.toml", ".hidden.toml", "a.toml.bak", "a.csv")
    (place / "folder.toml").mkdir()
    (place / "out.toml").symlink_to(tmp_path / "outside.toml")
    (place / "in.toml").symlink_to("a.toml")
    (place / "gone.toml").symlink_to("nothing.toml")
    assert Folder(place).names() == ("B.toml", "a.toml", "b.toml", "in.toml")
    through = tmp_path / "through"
    through.symlink_to(place)
    assert Folder(through).names() == ("B.toml", "a.toml", "b.toml", "in.toml")
    assert Folder(place / "nowhere").names() == ()


def test_names_that_no_address_can_hold_are_listed_apart_and_still_read(place):
    written(place, "a.toml", "\udcffx.toml", "y\udc80.toml")
    (place / "\udcffx.toml").write_text(TEXT + 'observed = "mine.csv"', encoding="utf-8")
    found = Folder(place)
    assert found.listed() == (("a.toml",), ("y\udc80.toml", "\udcffx.toml"))
    assert found.names() == ("a.toml",)
    assert found.speaks_of("mine.csv") and not found.speaks_of("other.csv")
    with pytest.raises(RefusedError):
        found.path("\udcffx.toml")
    assert Folder(place / "nowhere").listed() == ((), ())


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (0, ""),
        (1, "One station file has a name that is no text in UTF-8: {0}. Rename it to open it here."),
        (
            3,
            "3 station files have names that are no text in UTF-8: {0}, {1}, {2}. Rename them to",
        ),
        (4, "4 station files have names that are no text in UTF-8: {0}, {1}, {2} and others. Rename them"),
    ],
)
def test_the_list_tells_of_them_whatever_the_folder_is_called(serving, tmp_path, count, told):
    folder = tmp_path / "\udcfed"
    folder.mkdir()
    written(folder, "a.toml", "b.toml", *(f"\udcff{number}.toml" for number in range(count)))
    page = serving(folder).get("/files")
    assert page.status == 200
    assert "The folder is" in page.words and "/\\udcfed." in page.words
    assert told.format(*(f"\\udcff{number}.toml" for number in range(3))) in page.words
    assert ("UTF-8" in page.words) == (count > 0)
    assert re.findall(r'class="way" href="(/at/[^"]*)"', page.text) == ["/at/a.toml/week", "/at/b.toml/week"]


def test_of_very_many_the_first_five_hundred_are_listed(place):
    for number in range(502):
        (place / f"{number:03}.toml").touch()
    assert Folder(place).names() == tuple(f"{number:03}.toml" for number in range(500))


def test_a_file_that_is_not_listed_is_not_there(place, tmp_path):
    written(place, "a.toml")
    assert Folder(place).path("a.toml") == place / "a.toml"
    for name in ("b.toml", "../outside.toml", "", "A.TOML"):
        with pytest.raises(RefusedError) as raised:
            Folder(place).opened(name)
        assert raised.value.refusal is Refusal.NOTHING


def test_a_file_is_read_again_when_it_or_one_it_names_has_changed(place):
    shutil.copyfile(REPOSITORY / "demo_stations" / "skerrow_pier.csv", place / "table")
    text = TEXT[: TEXT.index("constituents = [")] + 'constituents = "table"\n' + made.SPOT
    (place / "a.toml").write_text(text, encoding="utf-8")
    folder = Folder(place)
    first = folder.opened("a.toml")
    assert first.shore is not None and first.problems == ()
    assert folder.opened("a.toml") is first
    (place / "table").write_text("name,amplitude,phase\nM2,1,2\n", encoding="utf-8")
    second = folder.opened("a.toml")
    assert second is not first and second.state != first.state and second.revision == first.revision
    os.utime(place / "a.toml", ns=(1, 1))
    assert folder.opened("a.toml") is not second
    (place / "table").unlink()
    third = folder.opened("a.toml")
    assert third.shore is None and "table" in str(third.problems[0])


def test_a_file_that_changes_while_it_is_read_is_read_again(place, monkeypatch):
    def changing(path):
        path.write_text(TEXT.replace("Made shore", "Other shore"), encoding="utf-8")
        return read_shore(path)

    written(place, "a.toml")
    folder = Folder(place)
    with monkeypatch.context() as patch:
        patch.setattr(folders, "read_shore", changing)
        assert folder.opened("a.toml").document["title"] == "Made shore"
    assert folder.opened("a.toml").document["title"] == "Other shore"


def test_eight_files_are_remembered_and_the_first_makes_room(place):
    names = [f"{number}.toml" for number in range(9)]
    written(place, *names)
    folder = Folder(place)
    first = {name: folder.opened(name) for name in names[:8]}
    assert all(folder.opened(name) is first[name] for name in names[:8])
    folder.opened(names[8])
    assert all(folder.opened(name) is first[name] for name in names[1:8])
    assert folder.opened(names[0]) is not first[names[0]]


def test_what_is_no_station_file_tells_why(place):
    (place / "a.toml").write_bytes(b"\0\1\2")
    (place / "b.toml").write_text("title = 1 1\n", encoding="utf-8")
    folder = Folder(place)
    binary, broken = folder.opened("a.toml"), folder.opened("b.toml")
    for opened in (binary, broken):
        assert (opened.shore, opened.document, len(opened.problems)) == (None, {}, 1)
        assert opened.problems[0].where == "file"
        assert opened.revision == revision_of((place / opened.name).read_bytes())
    assert (binary.text, broken.text) == (None, "title = 1 1\n")
    assert str(binary.problems[0]).endswith("expected a station file")
    assert revision_of(b"a") == "ca978112ca1bbdcafac231b39a23dc4d"


def test_a_file_that_goes_while_it_is_read(place, monkeypatch):
    written(place, "a.toml")
    folder = Folder(place)
    monkeypatch.setattr(Folder, "path", lambda self, name: self.root / "gone.toml")
    opened = folder.opened("a.toml")
    assert (opened.name, opened.text, opened.revision, opened.shore) == ("a.toml", None, "", None)
    assert [str(item) for item in opened.problems] == [
        "file: found No such file or directory; expected a file"
    ]


def test_what_is_wrong_without_a_place_is_told_as_of_the_whole_file(place, monkeypatch):
    def failing(path):
        raise OutputError("no sense in it")

    written(place, "a.toml")
    monkeypatch.setattr(folders, "read_shore", failing)
    opened = Folder(place).opened("a.toml")
    assert (opened.text, opened.shore) == (TEXT, None)
    assert [str(item) for item in opened.problems] == ["file: found no sense in it; expected a station file"]


def test_a_byte_order_mark_is_part_of_the_text_and_not_of_the_document(place):
    (place / "a.toml").write_text("\ufeff" + TEXT, encoding="utf-8")
    opened = Folder(place).opened("a.toml")
    assert opened.text == "\ufeff" + TEXT
    assert opened.document["title"] == "Made shore" and opened.shore is not None


@pytest.mark.parametrize(
    ("name", "spoken"),
    [
        ("gauge.csv", True),
        ("deep/gauge.csv", True),
        ("auge.csv", False),
        ("csv", False),
        ("gauge_csv", False),
        ("deep.gauge.csv", False),
        ("my-gauge.csv", True),
        ("other.csv", False),
    ],
)
def test_a_name_is_spoken_of_where_it_stands_whole(place, name, spoken):
    (place / "a.toml").write_text('x = "./gauge.csv"\ny = "deep/gauge.csv"\n', encoding="utf-8")
    (place / "b.toml").write_text('z = "my-gauge.csv"\n', encoding="utf-8")
    assert Folder(place).speaks_of(name) is spoken


def test_where_a_file_can_not_be_read_nobody_knows_who_names_it(place, monkeypatch):
    written(place, "a.toml")
    folder = Folder(place)
    monkeypatch.setattr(Folder, "_every", lambda _self: ["gone.toml"])
    with pytest.raises(OutputError) as raised:
        folder.speaks_of("x.csv")
    assert str(raised.value) == f"{place}: can't see who names x.csv: No such file or directory"


@pytest.mark.parametrize("text", ["a\\u0000b.csv", "a\\nb.csv", "x" * 5000 + ".csv", ""])
def test_a_text_that_names_no_file_is_in_nobody_s_way(place, text):
    written(place, "a.toml")
    path = place / "a.toml"
    path.write_text(TEXT.replace("Made shore", text, 1), encoding="utf-8")
    folder = Folder(place)
    opened = folder.opened("a.toml")
    assert folder.opened("a.toml") is opened
