"""Lessons written into files: the values they teach, and not a comment lost."""

import tomllib

import pytest

from tests.cli.runs import DEMOS
from windows.log.file_edits import FileEditError, with_lessons
from windows.log.lessons import Lesson, Setting, Standing

TEXT = """# A coast of our own
title = "Coast"    # title

[[spots]]
id = "one"
slack_lag = 15     # watched once
# depth to come
[spots.flow]       # how it moves
strong_ebb = 1.5

[[spots]]
id = "two"
speeds = { full_from = 0.5, full_to = 1.0 }  # knots

[spots.flow]
current = "narrows"

[[spots]]
id = "three"

[[banks]]
id = "flat"
bare_below = 0.8
"""


def lesson(setting: Setting, owner: str, value) -> Lesson:
    return Lesson(setting, owner, owner, Standing.CHANGE, 9, value=value)


def changed(*lessons: Lesson, text: str = TEXT) -> tuple[str, dict]:
    new = with_lessons(text, "coast.toml", lessons)
    return new, tomllib.loads(new)


@pytest.mark.parametrize(
    ("setting", "owner", "value", "keys"),
    [
        (Setting.SLACK_LAG, "one", 34.0, ("spots", 0, "slack_lag")),
        (Setting.SLACK_LAG, "two", 34.0, ("spots", 1, "slack_lag")),
        (Setting.SLACK_LAG, "three", -7.0, ("spots", 2, "slack_lag")),
        (Setting.STRONG_EBB, "one", 1.82, ("spots", 0, "flow", "strong_ebb")),
        (Setting.STRONG_EBB, "three", 1.82, ("spots", 2, "flow", "strong_ebb")),
        (Setting.DELAY, "two", 12.0, ("spots", 1, "flow", "delay")),
        (Setting.FACTOR, "two", 0.9, ("spots", 1, "flow", "factor")),
        (Setting.BARE_BELOW, "flat", 1.13, ("banks", 0, "bare_below")),
        (Setting.POINTS, "", {"flow": 50.0, "light": 45.0, "moon": 5.0}, ("fishing", "points")),
        (Setting.SPEEDS, "one", {"full_from": 0.3, "full_to": 1.1}, ("spots", 0, "speeds")),
        (Setting.SPEEDS, "two", {"full_from": 0.3, "full_to": 1.1}, ("spots", 1, "speeds")),
    ],
)
def test_a_value_where_it_belongs_and_nothing_else(setting, owner, value, keys):
    new, found = changed(lesson(setting, owner, value))
    expected = tomllib.loads(TEXT)
    place = expected
    for key in keys[:-1]:
        place = place.setdefault(key, {}) if isinstance(place, dict) else place[key]
    place[keys[-1]] = value
    assert found == expected
    for comment in ("# A coast of our own", "# title", "# depth to come", "# how it moves", "# knots"):
        assert comment in new
    assert "34.0" not in new and "-7.0" not in new and "50.0" not in new


def test_several_at_once():
    _, found = changed(lesson(Setting.SLACK_LAG, "one", 34.0), lesson(Setting.STRONG_EBB, "three", 2.0))
    assert found["spots"][0]["slack_lag"] == 34
    assert found["spots"][2]["flow"] == {"strong_ebb": 2}


def test_what_changes_nothing_leaves_the_text():
    agrees = Lesson(Setting.SLACK_LAG, "one", "one", Standing.AGREES, 9)
    assert with_lessons(TEXT, "coast.toml", [agrees]) == TEXT


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_every_demo_coast_can_be_changed(demo):
    text = demo.read_text(encoding="utf-8")
    before = tomllib.loads(text)
    every = [lesson(Setting.SPEEDS, spot["id"], {"full_from": 0.33}) for spot in before["spots"]]
    new, found = changed(*every, text=text)
    assert all(spot["speeds"]["full_from"] == 0.33 for spot in found["spots"])
    assert new.count("#") == text.count("#")


@pytest.mark.parametrize("owner", ["four", "flat"])
def test_where_it_can_t_be_changed_it_says_so(owner):
    with pytest.raises(FileEditError, match=r"coast\.toml: .* paste the lines by hand"):
        changed(lesson(Setting.SLACK_LAG, owner, 34.0))
