"""Forms of files of readings: what stands on them, where what is wrong stands, what is worked out once."""

import errno
import html
import re
import tempfile
from types import SimpleNamespace

import pytest

from harmonics.errors import EbblightError, FileProblemsError, Problem
from tests.app.asking import Site
from tests.app.conftest import Running
from tests.app.sending import AT, CSV, GAUGE, PAST, READINGS, RECORD, WEATHER, beside, contents, taken
from tests.cli.records import coast as made
from windows.app import named_files, named_reading, undoing
from windows.app.named_reading import placed
from windows.app.named_saving import WrongFileError, told
from windows.shoreline.named_files import Named, NamedFile

FOLDED = "Only where the file does not say"
KEYS = {"zone": "", "units": "", "time_column": "", "level_column": " stage "}
SECONDARY = """
[[stations]]
id = "basin"
name = "Basin"
reference = "pier"
high_water = { minutes = 10 }
low_water = { minutes = 12 }
"""


@pytest.fixture
def site(serving, folder):
    return serving(folder / "made.toml")


@pytest.fixture(scope="module")
def quiet(tmp_path_factory, sources):
    """A made shore with a record, whose station has no name, and weather that is gone."""
    folder = tmp_path_factory.mktemp("quiet")
    text = made.HEAD + made.STATION.replace('name = "Pier"\n', made.RECORD) + SECONDARY + made.SPOT
    (folder / "made.toml").write_text(
        f'{text}\n[weather]\nfile = "gone.csv"\nzone = "UTC"\n', encoding="utf-8"
    )
    lines = sources["gauge.csv"].splitlines(keepends=True)
    (folder / "gauge.csv").write_bytes(b"".join(lines[: 1 + 24 * 62]))
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
        running = Running(folder)
        yield Site(running.port)
        running.end()


def marked(answer) -> list[str]:
    """The links that are marked as the page shown."""
    return re.findall(r'<a href="([^"]*)" aria-current="page">', answer.text)


def words_in(answer, tag: str) -> list[str]:
    """The words of each such element."""
    found = re.findall(rf"<{tag}[^>]*>(.*?)</{tag}>", answer.text, re.DOTALL)
    return [html.unescape(re.sub("<[^>]*>", "", item)).strip() for item in found]


@pytest.mark.parametrize(
    ("page", "head", "reads", "known", "use"),
    [
        (RECORD, "Record, pier", "It reads gauge.csv", True, "What the gauge observed, for chance"),
        (READINGS, "Recent readings, pier", None, False, "The last days at the gauge"),
        (PAST, "Weather of the record's time, pier", None, False, "What the level answered to"),
        (WEATHER, "Weather", "It reads gone.csv", True, "Forecast or observed, for wind"),
    ],
)
def test_the_form_of_a_file_says_what_it_is_for_and_what_is_read(quiet, page, head, reads, known, use):
    answer = quiet.get(page)
    assert (answer.status, marked(answer)) == (200, [f"{AT}/shore"])
    assert words_in(answer, "h1") == [head]
    assert any(line.startswith(use) for line in words_in(answer, "p"))
    shown = [*words_in(answer, "h2"), *words_in(answer, "p")]
    assert [line for line in shown if line.startswith("It reads")] == ([reads] if reads else [])
    assert words_in(answer, "button") == ["Save", "Use it no more"][: 1 + known]
    choose = "Another file in its place, of 64 MiB at most" if known else "The file, of 64 MiB at most"
    assert choose in words_in(answer, "label")
    assert "Choose the file once more" not in answer.words
    assert f'<a class="way" href="{AT}/shore">Back to the shore</a>' in answer.text


def test_keys_beside_a_file_are_fields_with_what_they_say(quiet):
    text = quiet.get(RECORD).text
    assert words_in(quiet.get(RECORD), "legend") == [FOLDED]
    assert re.search(r'<input id="f-zone" type="text" name="zone" value="UTC"', text)
    choices = re.search(r'<select id="f-units" name="units".*?</select>', text, re.DOTALL)[0]
    assert re.findall(r'value="([^"]*)"', choices) == ["", "metres", "feet"]
    assert '<option value="metres" selected>' in choices
    labels = re.findall(r'<label for="f-\w+">([^<]*)', text)
    assert labels[1:] == ["Clock of its times", "Unit of its levels", "Column of times", "Column of levels"]
    hint = re.search(r'id="h-zone">([^<]*)', text)[1]
    assert hint == "Such as UTC or America/Chicago; the shore&#39;s where nothing is said"
    assert 'id="h-units"' not in text
    assert 'name="zone"' in quiet.get(WEATHER).text
    assert "<fieldset>" not in quiet.get(READINGS).text and "<details" not in quiet.get(READINGS).text


def test_fields_that_say_nothing_are_folded(site):
    answer = site.get(RECORD)
    assert words_in(answer, "summary") == [FOLDED] and "<fieldset>" not in answer.text
    answer = site.send(RECORD, {"zone": "", "units": ""}, "x.csv", b"time,level\n2026-01-01T00:00Z,1\n")
    assert answer.status == 422 and words_in(answer, "legend") == [FOLDED]


def test_ways_to_files_are_those_of_stations_with_a_table_of_their_own(quiet):
    text = quiet.get(f"{AT}/shore").text
    ways = re.findall(rf'href="({AT}/files/[^"]*)"[^>]*>(?:<bdi>)?([^<]*)<', text)
    assert [(way, html.unescape(label)) for way, label in ways] == [
        (RECORD, "Record, pier"),
        (READINGS, "Recent readings, pier: none yet"),
        (PAST, "Weather of the record's time, pier: none yet"),
        (WEATHER, "Weather"),
    ]
    assert quiet.get(f"{AT}/files/record/1").status == 404
    assert "/files/" not in quiet.get(f"{AT}/shore/stations/1").text
    assert f"{AT}/files/weather" not in quiet.get(f"{AT}/shore/stations/0").text


def test_a_file_that_is_gone_is_told_without_its_folder(quiet):
    answer = quiet.get(WEATHER)
    told_there = re.findall(r'<p class="hazard" role="alert">([^<]*)', answer.text)
    assert told_there[0].startswith("gone.csv: 1 problem") and len(told_there) > 1
    assert "/quiet" not in answer.text


def test_what_is_refused_is_shown_again_and_the_file_asked_for_once_more(site):
    answer = site.send(RECORD, {"zone": "Mars/X", "units": "feet"}, "x.csv", CSV)
    assert (answer.status, marked(answer)) == (422, [f"{AT}/shore"])
    assert "Choose the file once more: a form can't keep it." in words_in(answer, "p")
    assert 'name="zone" value="Mars/X"' in answer.text and '<option value="feet" selected>' in answer.text
    assert "Choose the file once more" not in site.send(RECORD, GAUGE, "", b"").words


def test_what_a_file_holds_is_worked_out_once_for_each_state(site, folder, monkeypatch):
    def counted(*arguments):
        asked.append(arguments[1].kind.value)
        return ("Of it.",)

    asked: list[str] = []
    path = folder / "made.toml"
    text = made.HEAD + made.STATION.replace('name = "Pier"', made.RECORD) + made.SPOT
    path.write_text(f'{text}\n[weather]\nfile = "gone.csv"\n', encoding="utf-8")
    monkeypatch.setattr(named_files, "held", counted)
    monkeypatch.setattr(named_files, "MOST_HELD", 1)
    for page in (WEATHER, WEATHER, RECORD, WEATHER, WEATHER, READINGS):
        answer = site.get(page)
    assert asked == ["weather", "record", "weather"]
    assert "Of it." not in answer.words and "Of it." in site.get(WEATHER).words
    path.write_text(path.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    site.get(WEATHER)
    assert asked == ["weather", "record", "weather", "weather"]


def test_what_was_just_read_is_not_read_again_and_few_such_deeds_are_remembered(site, sources, monkeypatch):
    monkeypatch.setattr(undoing, "MOST_WITH_FILES", 1)
    first = site.send(WEATHER, {}, "weather.csv", sources["weather.csv"])
    monkeypatch.setattr(named_files, "held", None)
    shown = site.get(first.headers["location"])
    assert "32 times, Mon 10 Aug 2026 to Thu 13 Aug 2026" in shown.words
    assert "Saved: weather, from weather.csv." in words_in(shown, "p")
    site.send(WEATHER, {"zone": "UTC"}, "", b"")
    assert "Saved" not in site.get(first.headers["location"]).words


def test_recent_readings_are_read_each_time(site, monkeypatch):
    assert "Saved: recent readings of Pier, from now.csv." in taken(site, READINGS, {}, "now.csv", CSV).words
    asked = []
    monkeypatch.setattr(named_files, "held", lambda *_: asked.append(1) or ("x",))
    site.get(READINGS)
    site.get(READINGS)
    assert len(asked) == 2


def test_a_file_that_stays_is_told_where_it_is_used_no_more(site, folder, sources):
    (folder / "mine.csv").write_bytes(CSV)
    text = (folder / "made.toml").read_text(encoding="utf-8")
    (folder / "made.toml").write_text(
        text.replace('id = "pier"', 'id = "pier"\nobserved = "mine.csv"'), "utf-8"
    )
    kept = site.send(READINGS, {}, "", b"")
    assert kept.status == 303 and "stays" not in site.get(kept.headers["location"]).words
    stopped = site.posted(READINGS, {"deed": "stop", "revision": site.hidden(READINGS, "revision")})
    said = "No longer used: recent readings of Pier. mine.csv stays in the folder, unused."
    assert said in words_in(stopped, "p")
    assert site.get(READINGS).status == 200 and (folder / "mine.csv").read_bytes() == CSV


def test_a_full_disk_is_told_and_nothing_is_left(site, folder, monkeypatch):
    def full(*_args, **_more):
        raise OSError(errno.ENOSPC, "No space left on device")

    before = contents(folder)
    monkeypatch.setattr(tempfile, "TemporaryDirectory", full)
    answer = site.send(READINGS, {}, "now.csv", CSV)
    assert answer.status == 422
    told_there = "made.toml: can&#39;t try what was sent: No space left on device"
    assert f'<p class="hazard" role="alert">{told_there}</p>' in answer.text
    assert contents(folder) == before


@pytest.mark.parametrize(
    ("where", "found", "expected", "key"),
    [
        ("stations[0].record.zone", "x", "y", "zone"),
        ("stations[0].record.other", "x", "y", "file"),
        ("stations[0].record", "x", "y", "file"),
        ("stations[0].recorded", "x", "y", ""),
        ("stations[1].record.zone", "x", "y", ""),
        ("spots[0].zone", "x", "y", ""),
        ("line 3", "x", "y", "file"),
        ("columns a, b", "x", "y", "file"),
        ("column a", "x", "y", "file"),
        ("header", "no unit; a", "y", "units"),
        ("header", "x", "one; the unit m", "units"),
        ("file", "the unit m", "feet", "units"),
        ("line 2", "a time; the zone is", "y", "zone"),
        ("header", "x", "one column of times", "time_column"),
        ("header", "two", "which of them told (level_column)", "level_column"),
        ("header", "no column 'stage'", "y", "level_column"),
        ("header", "no column 'other'", "y", "file"),
        ("forecast_reference_time", "x", "y", "file"),
        ("elsewhere", "no unit", "y", ""),
    ],
)
def test_where_a_problem_stands(where, found, expected, key):
    item = NamedFile(Named.RECORD, 0)
    problem = Problem(where, found, expected)
    assert placed((problem,), item, KEYS) == {key: (f"{where}: found {found}; expected {expected}",)}


def test_of_a_field_that_is_not_asked_for_the_file_has_the_problem():
    item, problems = (
        NamedFile(Named.READINGS, 0),
        (Problem("header", "no unit", "m"), Problem("line 1", "a", "b")),
    )
    assert placed(problems, item, {}) == {"file": tuple(map(str, problems))}
    assert placed((Problem("stations[0].observed", "a", "b"),), item, {}).keys() == {"file"}


def test_what_an_error_says_names_files_without_their_folders(tmp_path):
    opened = SimpleNamespace(path=tmp_path / "made.toml")
    sent = tmp_path / "elsewhere" / "sent.csv"
    error = EbblightError(f"{tmp_path}/gauge.csv: too short\n{sent}: no sense in it")
    assert told(error, opened) == ("gauge.csv: too short", "elsewhere/sent.csv: no sense in it")
    assert told(EbblightError(f"{sent}: no sense\nin it"), opened, sent) == ("No sense", "In it")
    assert str(WrongFileError({"file": ("a", "b"), "": ("c",)})) == "a\nb\nc"


def test_what_is_wrong_in_another_file_is_told_by_its_name(site, folder, monkeypatch):
    def failing(shore, item, now, sent):
        raise FileProblemsError(str(folder / "gauge.csv"), (Problem("line 2", "x", "y"),))

    monkeypatch.setattr("windows.app.named_saving.held", failing)
    answer = site.send(READINGS, {}, "now.csv", CSV)
    assert answer.status == 422 and beside(answer, "file") == ""
    assert '<p class="hazard" role="alert">gauge.csv: line 2: found x; expected y</p>' in answer.text


def test_the_longest_gap_of_hours():
    nan = float("nan")
    gaps = [
        named_reading._longest_gap(named_reading.np.array(hours))
        for hours in ([1.0, 2.0, 3.0], [1.0, nan, nan, 2.0, nan, 3.0], [nan, 1.0])
    ]
    assert gaps == [0.0, 7200.0, 0.0]
