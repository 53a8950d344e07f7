"""The manual against the program: what it prints runs as it stands, and it names what there is, no more."""

import contextlib
import io
import re

import click
import pytest

from tests import api_page, guide_pictures, keys_page
from tests.cli.runs import NOW, REPOSITORY, done, refused, run
from tests.documents import FENCE, README, blocks, lay_out, names, section, shell_lines, table
from windows import guide
from windows.cli import main
from windows.guide import PICTURES, TOPICS, page, picture
from windows.render.formats import FORMATS, WRITERS, ResultKind
from windows.render.words import cautions
from windows.shoreline.hours import parse_hours

ALWAYS_THERE = {"--help", "-h", "--version"}
"""Options of every command-line program, which a reader need not be told of."""
STORY = "evening"
"""Told from an empty folder on: `test_first_evening` runs it."""
NOT_RUN_HERE = {
    "python3 -m venv .venv",
    ".venv/bin/pip install .",
    "pip install 'ebblight[pages]'",
    "ebblight new gauge.txt -o shore",
    "ebblight serve FILE",
}
"""Set-up, what asks at a terminal, what does not end: `test_package`, `test_new` and `tests/app` run them."""


def commands() -> dict[str, click.Command]:
    context = click.Context(main)
    found = {name: main.get_command(context, name) for name in main.list_commands(context)}
    assert all(found.values())
    return {name: command for name, command in found.items() if command is not None}


def options_listed(text: str) -> set[str]:
    """Options in the first cells of a page's tables."""
    listed = {word for row in re.findall(r"^\| (.*?) \|", text, re.MULTILINE) for word in names(row)}
    return {word.split()[0] for word in listed if word.startswith("-")}


def options_of(command: click.Command) -> set[str]:
    """Of the command, and of those of a group."""
    found = {spelling for item in command.params for spelling in (*item.opts, *item.secondary_opts)}
    return found.union(*map(options_of, members(command).values()))


def members(command: click.Command) -> dict[str, click.Command]:
    """The commands of a group by name; none of any other."""
    if not isinstance(command, click.Group):
        return {}
    context = click.Context(command)
    found = {name: command.get_command(context, name) for name in command.list_commands(context)}
    return {name: member for name, member in found.items() if member is not None}


class TestPages:
    def test_every_topic_has_its_page_and_every_page_its_topic(self):
        folder = REPOSITORY / "windows" / "guide"
        assert sorted(TOPICS) == sorted(path.stem for path in folder.glob("*.md"))

    @pytest.mark.parametrize("topic", TOPICS)
    def test_a_page_opens_with_its_title_and_its_purpose(self, topic):
        first, blank, purpose, after = page(topic).text.splitlines()[:4]
        assert first == f"# {page(topic).title}"
        assert blank == after == ""
        assert purpose == page(topic).purpose
        assert purpose.endswith(".")

    def test_the_readme_lists_every_page_with_its_purpose(self):
        listed = re.findall(r"^\| \[(\w+)\]\(windows/guide/(\w+)\.md\) \| (.*) \|$", README, re.MULTILINE)
        assert listed == [(topic, topic, page(topic).purpose) for topic in TOPICS]

    @pytest.mark.parametrize("topic", TOPICS)
    def test_pages_it_points_to_are_there(self, topic):
        text = " ".join(page(topic).text.split())
        assert set(re.findall(r"[Pp]ages? `(\w+)`", text)) <= set(TOPICS)
        for name in re.findall(r"`((?:demo_stations|tests)/[\w./]*)`", text):
            assert (REPOSITORY / name).exists(), name

    def test_every_picture_stands_on_one_page_below_the_command_that_makes_it(self):
        folder = REPOSITORY / "windows" / "guide" / "pictures"
        assert (
            sorted(PICTURES) == sorted(guide_pictures.commands()) == sorted(p.name for p in folder.iterdir())
        )
        shown = [name for topic in TOPICS for name in re.findall(r"!\[.+\]\((.*)\)", page(topic).text)]
        assert sorted(shown) == sorted(f"pictures/{name}" for name in PICTURES)

    def test_the_page_of_public_names_is_up_to_date(self):
        assert page("api").text == api_page.api_page(), "run python -m tests.api_page"

    def test_the_page_of_keys_is_that_of_the_models(self):
        assert page("keys").text == keys_page.keys_page(), "run python -m tests.keys_page"


class TestCommand:
    def test_without_a_topic_it_lists_all_with_their_purpose(self):
        text = done("guide", columns="200")
        for topic in TOPICS:
            (line,) = [line for line in text.splitlines() if line.split()[:1] == [topic]]
            assert page(topic).title[:20] in line

    @pytest.mark.parametrize("topic", TOPICS)
    def test_a_page_is_shown_without_its_markup(self, topic):
        text = done("guide", topic, columns="80")
        assert text.splitlines()[0].strip() == page(topic).title
        assert "```" not in text and "| ---" not in text and "\x1b" not in text
        assert max(map(len, text.splitlines())) <= 80
        assert all(line == line.rstrip() for line in text.splitlines())
        assert text == done("guide", topic, columns="80")

    def test_a_picture_is_named_with_what_it_shows(self):
        text = " ".join(done("guide", "outing", columns="80").split())
        assert "Picture plan.svg: The best day of each list" in text
        assert "`ebblight serve`" not in text and "ebblight serve shows it under Guide" in text

    def test_it_is_no_wider_than_reads_well(self):
        assert 80 < max(map(len, done("guide", "commands", columns="300").splitlines())) <= 100

    def test_a_topic_that_is_none_lists_those_there_are(self):
        assert "no page 'fishing'; the topics: start, evening, file" in refused(1, "guide", "fishing")

    def test_a_terminal_gets_colours(self, monkeypatch):
        from windows.cli import guide as command

        monkeypatch.setattr(command.sys.stdout, "isatty", lambda: True, raising=False)
        assert "\x1b[" in command._rendered("# Title\n\n`code`\n")


def a_gauge_and_its_weather(path):
    """What the page's record and its weather are, of the tide itself and a steady breeze."""
    levels = done("levels", path, "--start", "2025-01-01", "--days", "70", "--format", "csv").splitlines()[1:]
    rows = [line.split(",") for line in levels]
    tide = "".join(f"{row[1]},{float(row[3]):.3f}\n" for row in rows)
    (path.parent / "gauge.csv").write_text(f"time_utc,level_m\n{tide}")
    wind = "".join(f"{row[1]},{5 + k % 3},{90 + k % 90},{1010 + k % 7}\n" for k, row in enumerate(rows))
    header = "time_utc,wind_speed [m/s],wind_from_direction [degree],air_pressure_at_mean_sea_level [hPa]"
    (path.parent / "gauge_weather.csv").write_text(f"{header}\n{wind}")


class TestExamples:
    @pytest.mark.parametrize(
        "topic", [topic for topic in TOPICS if blocks(page(topic).text, "toml") and topic != STORY]
    )
    def test_the_examples_of_a_page_are_one_file_without_a_problem(self, tmp_path, topic):
        lay_out(tmp_path, topic)
        path = tmp_path / "shore.toml"
        if topic == "records":
            a_gauge_and_its_weather(path)
        assert "no problems found" in done("check", path)

    @pytest.mark.parametrize(
        "topic", [topic for topic in TOPICS if shell_lines(page(topic).text) and topic != STORY]
    )
    def test_commands_run_as_printed(self, tmp_path, monkeypatch, topic):
        lay_out(tmp_path, topic)
        monkeypatch.chdir(tmp_path)
        for line in shell_lines(page(topic).text):
            assert line[0] == "ebblight"
            result = run(*line[1:], now=NOW)
            assert result.code == 0, (line, result.err)
            if "-o" in line:
                written = tmp_path / line[line.index("-o") + 1]
                assert written.exists()
                if written.name in PICTURES and f"(pictures/{written.name})" in page(topic).text:
                    assert written.read_bytes() == picture(written.name), "python -m tests.guide_pictures"
            else:
                assert len(result.out.splitlines()) > 1

    def test_the_fuller_first_file_passes_and_so_does_what_may_be_written_into_it(self, tmp_path):
        lay_out(tmp_path, "start")
        text = page("start").text
        (fuller,) = [block for block in blocks(text, "text") if "[[stations]]" in block]
        inline = re.findall(r"`(\w+ = [^`]+)`", text)
        assert inline
        path = tmp_path / "shore.toml"
        path.write_text("\n".join([fuller, *inline]), encoding="utf-8")
        told = done("check", path)
        assert "no problems found" in told and "Worth a look" not in told

    @pytest.mark.parametrize("topic", TOPICS)
    def test_every_block_is_of_a_kind_that_is_run_or_is_no_example(self, topic):
        text = page(topic).text
        assert {kind for kind, _ in FENCE.findall(text)} <= {"sh", "toml", "csv", "python", "text", "table"}
        left = [line for block in blocks(text, "text") for line in block.splitlines()]
        typed = {line for line in left if re.match(r"\S*(ebblight|pip|python3) ", line)}
        assert typed <= NOT_RUN_HERE

    @pytest.mark.parametrize("number", range(len(blocks(page("python").text, "python"))))
    def test_programs_run_as_printed(self, tmp_path, monkeypatch, number):
        lay_out(tmp_path, "python")
        monkeypatch.chdir(tmp_path)
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            exec(compile(blocks(page("python").text, "python")[number], "guide", "exec"), {})
        assert ("session_start_local", "(240,)", "time_zone |")[number] in printed.getvalue()

    def test_a_key_that_is_not_known_is_a_problem_as_it_says(self, tmp_path):
        lay_out(tmp_path, "file")
        path = tmp_path / "shore.toml"
        path.write_text(
            path.read_text(encoding="utf-8").replace("mean_level", "mean_water"), encoding="utf-8"
        )
        assert "mean_water: found an unknown key" in refused(1, "check", path)

    @pytest.mark.parametrize("topic", ["preferences", "commands"])
    def test_hours_it_shows_are_hours(self, topic):
        ends = r"(?:\d\d:\d\d|dawn|sunrise|sunset|dusk)[+-]?\w*"
        shown = re.findall(rf'"(any|{ends}-{ends})"', page(topic).text)
        assert len(shown) >= 4
        for hours in shown:
            assert parse_hours(hours).text == hours


class TestNames:
    def test_every_command_stands_in_the_table_of_commands(self):
        listed = [names(row[0])[0].split()[1] for row in table(page("commands").text)]
        assert sorted(listed) == sorted(commands())

    @pytest.mark.parametrize("topic", TOPICS)
    def test_every_command_it_names_is_there(self, topic):
        named = set(re.findall(r"`ebblight ([a-z]+)", page(topic).text))
        assert named <= set(commands())

    def test_every_option_is_listed_and_every_listed_option_is_there(self):
        known = {
            spelling
            for command in (*commands().values(), *members(commands()["add"]).values())
            for parameter in command.params
            if isinstance(parameter, click.Option)
            for spelling in (*parameter.opts, *parameter.secondary_opts)
        } - ALWAYS_THERE
        text = page("commands").text
        assert options_listed(text) | {"--step"} == known

    @pytest.mark.parametrize("command", sorted({*commands()} - {"log", "add"}))
    def test_options_of_a_command_stand_in_its_own_part_or_are_shared(self, command):
        parts = re.split(r"^## ", page("commands").text, flags=re.MULTILINE)
        own = "".join(part for part in parts if f"`{command}`" in part.partition("\n")[0])
        shared = section(page("commands").text, "Options that most commands share")
        has = {item for item in options_of(commands()[command]) if item.startswith("-")} - ALWAYS_THERE
        told = options_listed(own) | set(re.findall(r"`(--[a-z-]+)", own))
        assert has <= told | options_listed(shared)
        assert options_listed(own) <= has

    @pytest.mark.parametrize("kind", sorted(members(commands()["add"])))
    def test_so_do_those_of_each_thing_to_add(self, kind):
        text = page("commands").text
        told = options_listed(section(text, "`add`")) | options_listed(section(text, "`import`"))
        assert options_of(members(commands()["add"])[kind]) - ALWAYS_THERE - {"file"} <= told

    def test_so_are_those_of_the_log_on_its_page(self):
        text, group = page("log").text, commands()["log"]
        shared = {"--format", "--output", "-o", *ALWAYS_THERE}
        told = set(re.findall(r"`(--[a-z-]+)`", text)) & {"--remove", "--restore", "--compute", "--write"}
        assert options_listed(text) | told == {item for item in options_of(group) if item[0] == "-"} - shared
        listed = [names(row[0])[0].split()[2] for row in table(text)]
        assert listed == list(members(group))

    @pytest.mark.parametrize("topic", TOPICS)
    def test_every_option_it_names_is_there(self, topic):
        known = {item for command in commands().values() for item in options_of(command)} | ALWAYS_THERE
        assert set(re.findall(r"(?<![\w-])--[a-z][\w-]*", page(topic).text)) <= known

    def test_formats_suffixes_and_who_has_them(self):
        listed = {names(row[0])[0]: row[1:] for row in table(page("formats").text)}
        assert {name: row[0] for name, row in listed.items()} == {
            name: form.suffix for name, form in FORMATS.items()
        }
        forecasts = {ResultKind.WEEK, ResultKind.BEST, ResultKind.COMPARE}
        for name, (_, said) in listed.items():
            kinds = {kind for kind in ResultKind if name in WRITERS[kind]}
            expected = {
                "`week`, `best`, `compare`, `plan`:": forecasts | {ResultKind.PLAN},
                "`week`, `best`, `compare`, `plan`, `prove`:": forecasts
                | {ResultKind.PLAN, ResultKind.PROOF},
                "`week`, `best`, `compare`, `plan`, `prove`, `log report`:": forecasts
                | {ResultKind.PLAN, ResultKind.PROOF, ResultKind.LOG_REPORT},
                "`week`, `best`, `compare`, `plan`, `now`:": forecasts | {ResultKind.PLAN, ResultKind.NOW},
                "all:": set(ResultKind),
                "all but": set(ResultKind) - {ResultKind.CONSTITUENTS},
            }
            (held,) = [value for start, value in expected.items() if said.startswith(start)]
            assert kinds == held, name


def test_the_cautions_stand_in_full():
    folded = " ".join(page("cautions").text.split())
    for caution in (*cautions.FULL, cautions.SHORT):
        assert caution in folded
    assert "never use them on the water" in folded
    assert cautions.SOLUNAR in " ".join(page("score").text.split())
    assert "wind and waves are not considered" in folded.lower()


def test_the_guide_is_read_without_a_network_or_a_checkout():
    assert guide.pages()[0].topic == TOPICS[0]
    assert all(item.text for item in guide.pages())
