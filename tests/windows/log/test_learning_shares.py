"""Shares of the factors are learned with evidence alone."""

import pytest

from tests.windows.log.lesson_books import (
    shore_of,
)
from tests.windows.log.made_trips import plain_trip
from tests.windows.log.share_trips import share_trips
from windows.log.lessons import Setting, Standing
from windows.log.shares import LEAST_TRIPS, learn_points


class TestShares:
    @pytest.fixture
    def shore(self, tmp_path):
        return shore_of(tmp_path)

    def test_where_light_does_it_light_gets_more(self, shore):
        lesson = learn_points(shore, share_trips((0.0, 3.0, 0.0), 300, seed=1))
        assert lesson.standing is Standing.CHANGE
        assert sum(lesson.value.values()) == 100.0
        assert lesson.value["light"] > 60.0
        light = next(part for part in lesson.parts if part.key == "light")
        assert light.estimate.low <= light.estimate.value <= light.estimate.high
        assert light.present < light.proposed < light.estimate.value, "drawn towards the file's"

    def test_where_the_file_is_right_it_stays(self, shore):
        lesson = learn_points(shore, share_trips((1.8, 1.05, 0.15), 300, seed=2))
        assert (lesson.standing, lesson.value) == (Standing.AGREES, None)
        assert (lesson.setting, lesson.owner, lesson.name) == (Setting.POINTS, "", "")

    def test_it_is_seldom_changed_for_nothing(self, shore):
        changed = sum(
            learn_points(shore, share_trips((0.6, 0.35, 0.05), 100, seed=10 + n)).value is not None
            for n in range(25)
        )
        assert changed <= 2

    def test_one_lucky_day_changes_nothing(self, shore):
        """A catch of 400 alone would seem to say a lot."""
        lesson = learn_points(shore, share_trips((0.0, 0.0, 0.0), 90, seed=3, luck=400))
        assert lesson.value is None

    def test_few_trips(self, shore):
        lesson = learn_points(shore, share_trips((0.0, 3.0, 0.0), LEAST_TRIPS - 1, seed=1))
        assert (lesson.standing, lesson.notes, lesson.needed) == (Standing.FEW, 59, 60)
        assert learn_points(shore, [plain_trip()]) is None
