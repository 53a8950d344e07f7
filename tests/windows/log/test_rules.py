"""Keep or release, on the boundary of every rule. All rules here are invented."""

import time
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.windows.log.made_trips import plain_trip
from windows.log.rules import OLDEST_CHECK, Ruling, Why, _days, judge
from windows.log.trips import Catch, Fish
from windows.shoreline.rules import Measured, Rule, Season
from windows.shoreline.rules_file import parse_length

TODAY = date(2026, 8, 10)
CHECKED = date(2026, 3, 1)
FORK, TOTAL = Measured.FORK, Measured.TOTAL


def rule(**changes) -> Rule:
    return Rule("Flounder", checked=CHECKED)._replace(**changes)


def fish_trip(*fish: Fish, species: str = "Flounder", start: datetime | None = None, hours=2.0, **changes):
    start = start or datetime(2026, 8, 10, 12, tzinfo=UTC)
    catches = (Catch(species, fish),)
    return plain_trip(start=start.timestamp(), hours=hours, catches=catches, **changes)


def only(trip, *rules, others=(), today=TODAY):
    (judgement,) = judge(trip, rules, others, today)
    return judgement


def rulings(trip, *rules, others=(), today=TODAY) -> list[Ruling]:
    return [item.ruling for item in judge(trip, rules, others, today)]


class TestLength:
    @pytest.mark.parametrize(
        ("length", "ruling"), [("34.9cm", Ruling.RELEASE), ("35cm", Ruling.KEEP), ("35.1cm", Ruling.KEEP)]
    )
    def test_the_least_length_itself_may_be_kept(self, length, ruling):
        wanted = rule(least_length=parse_length("35cm"), measured=FORK)
        found = only(fish_trip(Fish(True, parse_length(length), FORK)), wanted)
        assert found.ruling is ruling
        assert found.why == (() if ruling is Ruling.KEEP else (Why.TOO_SHORT,))

    @pytest.mark.parametrize(
        ("length", "ruling"), [("59.9cm", Ruling.KEEP), ("60cm", Ruling.KEEP), ("60.1cm", Ruling.RELEASE)]
    )
    def test_the_greatest_length_itself_may_be_kept(self, length, ruling):
        wanted = rule(greatest_length=0.6, measured=FORK)
        assert only(fish_trip(Fish(True, parse_length(length), FORK)), wanted).ruling is ruling

    @given(st.integers(1, 400))
    def test_inches_and_centimetres_meet(self, sixteenths):
        """A fish of exactly the rule's length is legal whichever unit either is written in."""
        inches = sixteenths / 16
        wanted = rule(
            least_length=parse_length(f"{inches:.4f}in"),
            greatest_length=parse_length(f"{inches:.4f}in"),
            measured=TOTAL,
        )
        same = parse_length(f"{inches * 2.54:.4f}cm")
        assert abs(same - inches * 0.0254) < 1e-6
        assert only(fish_trip(Fish(True, same, TOTAL)), wanted).ruling is Ruling.KEEP

    @pytest.mark.parametrize("measured", [TOTAL, None])
    def test_a_fish_measured_the_other_way_is_not_told(self, measured):
        """Fork against total: a long enough total length says nothing of the fork length."""
        found = only(fish_trip(Fish(True, 0.9, measured)), rule(least_length=0.35, measured=FORK))
        assert (found.ruling, found.why) == (Ruling.LOOK_UP, (Why.OTHER_MEASURE,))

    def test_a_fish_that_was_not_measured_is_not_told(self):
        wanted = rule(least_length=0.35, measured=FORK)
        assert only(fish_trip(Fish(True)), wanted).why == (Why.NOT_MEASURED,)
        assert only(fish_trip(Fish(True)), rule(bag=3)).ruling is Ruling.KEEP


class TestSeason:
    SUMMER = (Season((5, 1), (8, 10)),)
    WINTER = (Season((11, 1), (2, 29)),)

    @pytest.mark.parametrize(
        ("day", "ruling"),
        [
            (date(2026, 4, 30), Ruling.RELEASE),
            (date(2026, 5, 1), Ruling.KEEP),
            (date(2026, 8, 10), Ruling.KEEP),
            (date(2026, 8, 11), Ruling.RELEASE),
        ],
    )
    def test_its_first_and_last_day_are_in_it(self, day, ruling):
        start = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        found = only(fish_trip(Fish(True), start=start), rule(seasons=self.SUMMER))
        assert found.ruling is ruling
        assert found.why == (() if ruling is Ruling.KEEP else (Why.OUT_OF_SEASON,))

    @pytest.mark.parametrize(
        ("day", "ruling"),
        [
            (date(2026, 10, 31), Ruling.RELEASE),
            (date(2026, 12, 31), Ruling.KEEP),
            (date(2027, 1, 1), Ruling.KEEP),
            (date(2027, 2, 28), Ruling.KEEP),
            (date(2028, 2, 29), Ruling.KEEP),
            (date(2027, 3, 1), Ruling.RELEASE),
        ],
    )
    def test_over_new_year(self, day, ruling):
        start = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        wanted = rule(seasons=self.WINTER, checked=day)
        assert only(fish_trip(Fish(True), start=start), wanted, today=day).ruling is ruling

    def test_the_day_is_that_of_the_local_clock(self):
        """23:30 of the season's last day in Chicago is the next day in UTC."""
        start = datetime(2026, 8, 10, 23, 0, tzinfo=ZoneInfo("America/Chicago"))
        trip = fish_trip(Fish(True), start=start, hours=0.5, zone="America/Chicago")
        assert only(trip, rule(seasons=self.SUMMER)).ruling is Ruling.KEEP
        assert only(replace(trip, zone="UTC"), rule(seasons=self.SUMMER)).ruling is Ruling.RELEASE

    def test_a_trip_over_midnight_of_the_last_day(self):
        start = datetime(2026, 8, 10, 23, tzinfo=UTC)
        before, after = (datetime(2026, 8, 10, 23, 50, tzinfo=UTC), datetime(2026, 8, 11, 0, 10, tzinfo=UTC))
        trip = fish_trip(
            Fish(True, t=before.timestamp()), Fish(True, t=after.timestamp()), Fish(True), start=start
        )
        assert rulings(trip, rule(seasons=self.SUMMER)) == [Ruling.KEEP, Ruling.RELEASE, Ruling.RELEASE]

    def test_of_two_seasons_with_rules_of_their_own_the_open_one_counts(self):
        spring = rule(seasons=(Season((3, 1), (5, 31)),), least_length=0.5, measured=TOTAL)
        summer = rule(seasons=(Season((6, 1), (9, 30)),), least_length=0.3, measured=TOTAL)
        assert only(fish_trip(Fish(True, 0.4, TOTAL)), spring, summer).ruling is Ruling.KEEP

    def test_of_two_open_rules_the_stricter_counts(self):
        loose, strict = rule(bag=5), rule(least_length=0.5, measured=TOTAL)
        found = only(fish_trip(Fish(True, 0.4, TOTAL)), loose, strict)
        assert (found.ruling, found.rule) == (Ruling.RELEASE, strict)


class TestBag:
    def test_the_last_of_the_bag_may_be_kept_and_the_next_not(self):
        trip = fish_trip(*(Fish(True),) * 4)
        found = judge(trip, [rule(bag=3)], (), TODAY)
        assert [item.ruling for item in found] == [Ruling.KEEP] * 3 + [Ruling.RELEASE]
        assert [(item.bag.place, item.bag.allowed) for item in found if item.bag] == [
            (1, 3), (2, 3), (3, 3), (4, 3),
        ]  # fmt: skip
        assert found[-1].why == (Why.BAG_FULL,)

    def test_fish_that_went_back_and_other_species_leave_the_bag_alone(self):
        trip = fish_trip(Fish(False), Fish(False), Fish(True))
        trip = replace(trip, catches=(Catch("Bass", (Fish(True),)), *trip.catches))
        ruled = {item.ruling for item in judge(trip, [rule(bag=1)], (), TODAY) if item.species == "Flounder"}
        assert ruled == {Ruling.KEEP}

    def test_it_is_a_person_s(self):
        trip = fish_trip(*(Fish(True),) * 4, anglers=2)
        assert rulings(trip, rule(bag=2)) == [Ruling.KEEP] * 4
        assert rulings(trip, rule(bag=1))[1:] == [Ruling.KEEP, Ruling.RELEASE, Ruling.RELEASE]

    def test_the_morning_s_fish_count_and_names_are_one(self):
        morning = fish_trip(
            *(Fish(True),) * 2, species=" flounder", start=datetime(2026, 8, 10, 6, tzinfo=UTC), uid="m" * 32
        )
        evening = fish_trip(*(Fish(True),) * 2)
        assert rulings(evening, rule(bag=3), others=[morning, evening]) == [Ruling.KEEP, Ruling.RELEASE]
        assert rulings(morning, rule(bag=3), others=[morning, evening]) == [Ruling.KEEP, Ruling.KEEP]

    def test_plans_do_not_count(self):
        planned = fish_trip(
            Fish(True), start=datetime(2026, 8, 10, 6, tzinfo=UTC), uid="p" * 32, fished=False
        )
        assert rulings(fish_trip(Fish(True)), rule(bag=1), others=[planned]) == [Ruling.KEEP]

    def test_midnight_begins_a_new_bag(self):
        """A full bag until 23:30, and the first fish at 00:30."""
        evening = fish_trip(*(Fish(True),) * 3, start=datetime(2026, 8, 9, 21, 30, tzinfo=UTC), uid="e" * 32)
        night = fish_trip(Fish(True), start=datetime(2026, 8, 10, 0, 30, tzinfo=UTC))
        assert rulings(night, rule(bag=3), others=[evening]) == [Ruling.KEEP]

    def test_a_trip_that_ends_at_midnight_lies_in_one_day(self):
        evening = fish_trip(*(Fish(True),) * 3, start=datetime(2026, 8, 9, 22, tzinfo=UTC), uid="e" * 32)
        night = fish_trip(Fish(True), start=datetime(2026, 8, 10, 0, tzinfo=UTC))
        assert rulings(night, rule(bag=3), others=[evening]) == [Ruling.KEEP]

    def test_over_midnight_fish_with_a_time_count_on_their_day(self):
        start = datetime(2026, 8, 9, 22, tzinfo=UTC)
        early = [Fish(True, t=(start + timedelta(minutes=10 * n)).timestamp()) for n in range(3)]
        late = [Fish(True, t=(start + timedelta(hours=2, minutes=n)).timestamp()) for n in range(3)]
        trip = fish_trip(*early, *late, start=start, hours=4)
        assert rulings(trip, rule(bag=3)) == [Ruling.KEEP] * 6
        assert rulings(trip, rule(bag=2)) == [Ruling.KEEP, Ruling.KEEP, Ruling.RELEASE] * 2

    def test_over_midnight_fish_without_a_time_count_on_both(self):
        start = datetime(2026, 8, 9, 22, tzinfo=UTC)
        trip = fish_trip(*(Fish(True),) * 3, start=start, hours=4, uid="o" * 32)
        next_day = fish_trip(Fish(True))
        assert rulings(trip, rule(bag=2)) == [Ruling.KEEP, Ruling.KEEP, Ruling.RELEASE]
        assert rulings(next_day, rule(bag=3), others=[trip]) == [Ruling.RELEASE]

    def test_none_may_be_kept(self):
        assert only(fish_trip(Fish(True)), rule(bag=0)).why == (Why.BAG_FULL,)


class TestCheck:
    @pytest.mark.parametrize("age", [0, 1, 364, 365])
    def test_a_rule_checked_within_a_year(self, age):
        found = only(fish_trip(Fish(True)), rule(checked=TODAY - timedelta(days=age)))
        assert (found.ruling, found.checked_days) == (Ruling.KEEP, age)

    def test_a_rule_checked_366_days_ago(self):
        assert OLDEST_CHECK == 365
        found = only(fish_trip(Fish(True)), rule(checked=TODAY - timedelta(days=366)))
        assert (found.ruling, found.why, found.checked_days) == (Ruling.LOOK_UP, (Why.OLD_CHECK,), 366)

    def test_an_old_rule_still_says_its_say(self):
        wanted = rule(least_length=0.5, measured=FORK, checked=TODAY - timedelta(days=400))
        found = only(fish_trip(Fish(True, 0.4, FORK)), wanted)
        assert (found.ruling, found.why) == (Ruling.LOOK_UP, (Why.OLD_CHECK, Why.TOO_SHORT))

    def test_a_rule_never_checked_and_none_at_all(self):
        assert only(fish_trip(Fish(True)), rule(checked=None)).why == (Why.NEVER_CHECKED,)
        found = only(fish_trip(Fish(True), species="Eel"), rule())
        assert (found.ruling, found.why, found.rule) == (Ruling.LOOK_UP, (Why.NO_RULE,), None)


def test_every_fish_is_judged_in_order():
    trip = replace(fish_trip(Fish(True), Fish(False)), catches=(
        Catch("Eel"), Catch("Bass", (Fish(True),)), Catch("FLOUNDER", (Fish(True), Fish(False))),
    ))  # fmt: skip
    found = judge(trip, [rule()], (), TODAY)
    assert [(item.species, item.fish.kept) for item in found] == [
        ("Bass", True), ("FLOUNDER", True), ("FLOUNDER", False),
    ]  # fmt: skip


@pytest.mark.parametrize("machine", ["UTC", "Pacific/Kiritimati", "Pacific/Honolulu"])
def test_days_are_those_of_the_trip_s_clock_whatever_the_machine_s(monkeypatch, machine):
    """From 22:30 on 9 August to 0:30 on the 10th in London; a fish at 23:59, one at midnight."""
    start = datetime(2026, 8, 9, 21, 30, tzinfo=UTC).timestamp()
    trip = plain_trip(start=start, hours=2.0, zone="Europe/London")
    monkeypatch.setenv("TZ", machine)
    time.tzset()
    try:
        assert _days(trip, None) == {date(2026, 8, 9), date(2026, 8, 10)}
        assert _days(replace(trip, end=start + 5400.0), None) == {date(2026, 8, 9)}
        assert _days(trip, Fish(True, t=start + 5340.0)) == {date(2026, 8, 9)}
        assert _days(trip, Fish(True, t=start + 5400.0)) == {date(2026, 8, 10)}
    finally:
        monkeypatch.undo()
        time.tzset()
