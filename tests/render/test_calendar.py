"""The calendar read back by another library: instants, identifiers, alarms, text."""

import datetime as dt
from dataclasses import replace

import pytest
import vobject

from windows.render.calendar import entries
from windows.render.words import cautions
from windows.render.words.phrases import words_of
from windows.render.words.reasons import why


def calendar(made, **keys):
    """Entries for every session, not only the best of each day."""
    return entries.calendar(made, all_sessions=True, **keys)


def test_a_day_has_at_most_one_entry_of_each_group_unless_all_are_asked_for(forecast):
    made = forecast("skerrow_strand", days=7)
    named = [item.summary.value for item in sessions(entries.calendar(made, mark=0.0))]
    firsts = {}
    for item in made.ranking:
        firsts.setdefault((item.day, item.group), item)
    assert len(named) == len(firsts) < len(made.ranking)
    wanted = {(item.session.start, item.session.end) for item in firsts.values()}
    assert instants(sessions(entries.calendar(made, mark=0.0))) == wanted


def events(text):
    return [item for item in vobject.readOne(text).components() if item.name == "VEVENT"]


def sessions(text):
    return [item for item in events(text) if "points" in item.summary.value]


def instants(items):
    return {(item.dtstart.value.timestamp(), item.dtend.value.timestamp()) for item in items}


@pytest.mark.parametrize(("first", "change"), [("2026-10-29", "2026-11-01"), ("2027-03-11", "2027-03-14")])
def test_another_library_reads_the_same_instants_over_a_clock_change(coast, first, change):
    made = coast(first, 7)
    wanted = {
        (item.session.start, item.session.end) for item in made.ranking if item.session.points.total >= 50.0
    }
    days = {dt.datetime.fromtimestamp(start, dt.UTC).date() for start, _ in wanted}
    assert min(days) <= dt.date.fromisoformat(change) <= max(days)
    assert len(wanted) > 6
    text = calendar(made)
    assert instants(sessions(text)) == wanted
    for item in events(text):
        assert item.dtstart.value.utcoffset() == dt.timedelta(0)
    assert "X-WR-TIMEZONE:America/Chicago\r\n" in text


def test_the_text_tells_the_local_clock_on_both_sides_of_a_change(coast):
    made = coast("2026-10-31", 3)
    descriptions = [item.description.value for item in sessions(calendar(made))]
    assert any("CDT, UTC-05:00" in text for text in descriptions)
    assert any("CST, UTC-06:00" in text for text in descriptions)


def test_a_second_run_keeps_identifiers_and_counts_up(forecast):
    made = forecast("skerrow_strand")
    before, after = events(calendar(made)), events(calendar(made, now=made.made_at + 7200.0))
    assert [item.uid.value for item in before] == [item.uid.value for item in after]
    assert len({item.uid.value for item in before}) == len(before) > 10
    for old, new in zip(before, after, strict=True):
        assert int(new.sequence.value) == int(old.sequence.value) + 120
        assert new.dtstamp.value - old.dtstamp.value == dt.timedelta(hours=2)


def test_minutes_of_change_move_an_entry_and_keep_its_identifier(coast):
    before, after = (events(calendar(coast("2026-08-02", 5, lag=lag))) for lag in (10.0, 22.0))
    assert [item.uid.value for item in before] == [item.uid.value for item in after]
    moved = [a.dtstart.value - b.dtstart.value for a, b in zip(after, before, strict=True)]
    assert sum(shift != dt.timedelta(0) for shift in moved) > len(moved) / 2
    assert all(abs(shift) < dt.timedelta(hours=2) for shift in moved)


def test_sessions_that_are_over_leave_the_later_ones_their_identifiers(coast):
    whole = coast("2026-08-02", 2)
    first, second = whole.spots[0].days[0].sessions[:2]
    assert first.session.end < second.session.start
    later = coast("2026-08-02", 2, now=first.session.window.end + 600.0)
    named = {item.uid.value: item.dtstart.value for item in events(calendar(whole))}
    left = {item.uid.value: item.dtstart.value for item in events(calendar(later))}
    assert len(left) == len(named) - 1
    assert left.items() <= named.items()
    assert dt.datetime.fromtimestamp(first.session.start, dt.UTC) not in left.values()


def when_by_uid(text):
    return {item.uid.value: (item.dtstart.value, item.dtend.value) for item in events(text)}


def test_another_title_or_name_keeps_the_entries_and_another_spot_has_its_own(coast):
    one = when_by_uid(calendar(coast("2026-08-02", 3)))
    assert one == when_by_uid(calendar(coast("2026-08-02", 3, title="Other Bay", names={"post": "Old post"})))
    assert not one.keys() & when_by_uid(calendar(coast("2026-08-02", 3, names={"b": "Mooring post"}))).keys()


@pytest.mark.parametrize(
    ("name", "spots"),
    [("pellaway_sound", ["railway-groyne", "oyster-dock"]), ("skerrow_strand", ["narrows-rocks"])],
)
def test_another_start_doubles_nothing(forecast, name, spots):
    early = when_by_uid(calendar(forecast(name, "2026-08-10", 7, spots)))
    late = when_by_uid(calendar(forecast(name, "2026-08-12", 7, spots)))
    # every hour that is in both files is there under the same identifier, sessions and bait alike
    both = set(early.values()) & set(late.values())
    assert len(both) > 3
    for when in both:
        assert {uid for uid, other in early.items() if other == when} == {
            uid for uid, other in late.items() if other == when
        }
    assert any(
        "Bait at" in item.summary.value for item in events(calendar(forecast(name, days=7, spots=spots)))
    )


def test_the_order_of_spots_doubles_nothing(forecast):
    spots = ["railway-groyne", "oyster-dock"]
    one, other = (
        when_by_uid(calendar(forecast("pellaway_sound", spots=order))) for order in (spots, spots[::-1])
    )
    assert one == other


def test_other_hours_and_light_move_a_session_in_its_place(coast):
    plain = when_by_uid(calendar(coast("2026-08-02", 5, more='light = "any"')))
    for more in (
        'light = "any"\nhours = "05:00-19:00"',
        'light = "any"\ndays = ["mon", "tue", "wed"]',
        "keep = 40",
    ):
        changed = when_by_uid(calendar(coast("2026-08-02", 5, more=more)))
        known = changed.keys() & plain.keys()
        assert len(known) >= 0.7 * len(changed) > 2
        for uid in known:
            assert abs(changed[uid][0] - plain[uid][0]) < dt.timedelta(hours=4)


def test_two_sessions_of_one_ebb_stay_apart(forecast):
    made = forecast("skerrow_strand", spots=["narrows-rocks"], days=31)
    found = events(calendar(made, mark=0.0))
    assert len({item.uid.value for item in sessions(calendar(made, mark=0.0))}) == len(made.ranking)
    highs = [item.turn_before.t for item in made.ranking]
    assert len(set(highs)) < len(highs)  # the current there is too strong in the middle of some ebbs
    assert len(found) >= len(highs)


def test_the_mark_chooses_and_the_default_is_the_spots_keep_mark(coast):
    made = coast("2026-08-01", 7, more="keep = 40")
    totals = sorted(item.session.points.total for item in made.ranking)
    assert totals[0] < 70.0 < totals[-1]
    for mark, least in ((None, 40.0), (70.0, 70.0), (101.0, 101.0)):
        assert len(sessions(calendar(made, mark=mark))) == sum(total >= least for total in totals)


@pytest.mark.parametrize(
    ("keys", "minutes"),
    [
        ("", 45.0),  # assumed: half an hour on the way and a quarter to be ready
        ('travel = "45min"', 45.0),
        ('rigging = "10min"', 10.0),
        ('travel = "1h10min"\nrigging = "25min"', 95.0),
    ],
)
def test_an_alarm_rings_when_it_is_time_to_leave(coast, keys, minutes):
    made = coast("2026-08-01", 7, more=keys)
    words = words_of(made.head)
    for item in events(calendar(made)):
        assert item.valarm.trigger.value == -dt.timedelta(minutes=minutes)
        assert item.valarm.action.value == "DISPLAY"
        assert "Leave" in item.valarm.description.value
    for report in made.ranking:
        told = "\n".join(why(report, words))
        if not keys:
            assert report.leave_by is None
            assert "Leave by" not in told
        else:
            assert report.leave_by == report.session.start - minutes * 60.0
            assert f"Leave by {words.day_clock(report.leave_by, report.day)}" in told


def test_entries_carry_place_reasons_and_cautions(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    text = calendar(made)
    for item in sessions(text):
        latitude, longitude = (float(part) for part in item.geo.value.split(";"))
        assert (latitude, longitude) == (29.305, -90.61)
        assert item.location.value == "Railway groyne"
        body = item.description.value
        for line in (*cautions.FULL, cautions.SHORT, cautions.UNSEEN, "h after high water", "Window "):
            assert line in body
        assert body.startswith(cautions.INVENTED)
        assert item.summary.value.startswith(cautions.INVENTED)


def test_bait_is_an_entry_of_its_own_once_a_tide(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne", "oyster-dock"])
    windows = [
        item.bait.window for item in made.ranking if item.bait is not None and item.bait.window is not None
    ]
    minutes = {tuple(round(t / 60.0) * 60.0 for t in (window.start, window.end)) for window in windows}
    found = [item for item in events(calendar(made)) if "Bait at" in item.summary.value]
    assert len(windows) > len(found) == len({window.low_water for window in windows}) > 0
    assert instants(found) <= minutes
    assert all(item.location.value == "Shell flat" for item in found)
    assert all(cautions.SHORT in item.description.value for item in found)


def test_lines_are_folded_and_end_as_the_standard_asks(coast, hostile):
    text = calendar(coast("2026-08-01", 3, names=hostile, title=hostile["script"]))
    assert text.startswith("BEGIN:VCALENDAR\r\n") and text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75  # RFC 5545, 3.1


def test_hostile_names_are_plain_text(coast, hostile):
    made = coast("2026-08-01", 3, names=hostile)
    found = sessions(calendar(made))
    places = {item.location.value for item in found}
    for ident in ("script", "formula", "emoji"):
        assert hostile[ident] in places
    assert hostile["long"].strip() in places
    (rtl,) = [place for place in places if "\u05de" in place]
    assert rtl[0] == "\u2068" and rtl[-1] == "\u2069" and "\u202e" not in rtl
    assert len(found) == len(made.ranking)


def test_a_name_cannot_begin_an_entry_of_its_own(coast):
    made = coast("2026-08-01", 2)
    name = "Pier\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:forged\u2028x\x00"
    report = made.spots[0]
    spot = replace(report.spot, name=name)
    days = tuple(
        replace(day, sessions=tuple(replace(item, spot=spot) for item in day.sessions)) for day in report.days
    )
    text = calendar(
        replace(made, head=made.head._replace(title=name), spots=(replace(report, spot=spot, days=days),))
    )
    assert len(events(text)) == len(made.ranking) > 0
    assert "\r\nSUMMARY:forged" not in text
    assert "\x00" not in text and "\u2028" not in text


def test_no_window_makes_an_empty_calendar(forecast):
    made = forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"])
    assert not made.ranking
    text = calendar(made)
    assert events(text) == []
    assert text.startswith("BEGIN:VCALENDAR\r\n")


class Kept:
    """A person's calendar: what each file of a row of them left in it."""

    def __init__(self):
        self.events, self.last = {}, ""

    def take(self, made, **keys):
        self.last = entries.calendar(made, before=self.last, **keys)
        found = events(self.last)
        assert len({item.uid.value for item in found}) == len(found)
        for item in found:
            known = self.events.get(item.uid.value)
            assert known is None or int(item.sequence.value) > int(known.sequence.value)
            self.events[item.uid.value] = item
        return found

    def shown(self, start, end):
        """Entries that start between two instants and are not cancelled."""
        return {
            (uid, item.dtstart.value, item.dtend.value, item.summary.value, str(alarms(item)))
            for uid, item in self.events.items()
            if "status" not in item.contents and start <= item.dtstart.value.timestamp() < end
        }


def alarms(item):
    return [alarm.trigger.value for alarm in item.contents.get("valarm", [])]


EDITS = [
    ({"more": 'light = "any"'}, {}),
    ({"more": 'light = "any"\nhours = "05:00-19:00"', "title": "Other Bay"}, {}),
    ({"more": 'light = "any"', "names": {"post": "Old post", "wall": "Wall"}}, {"all_sessions": True}),
    ({"more": 'light = "any"\ntravel = "40min"', "names": {"wall": "Wall"}, "lag": 25.0}, {"mark": 60.0}),
    ({"more": 'light = "low"', "names": {"wall": "Wall"}}, {"all_sessions": True, "mark": 80.0}),
    ({"more": 'light = "any"\ndays = ["sat", "sun"]', "first": "2026-08-03"}, {}),
]


def test_edit_after_edit_leaves_in_a_calendar_what_the_last_file_says(coast):
    kept, gone = Kept(), 0
    for number, (keys, options) in enumerate(EDITS):
        start = dt.datetime(2026, 7, 25, 12 + number, tzinfo=dt.UTC).timestamp()
        made = coast(**{"first": "2026-08-02", "days": 6, "now": start, **keys})
        found = kept.take(made, **options)
        fresh = Kept()
        fresh.take(made, **options)
        days = made.spots[0].days
        assert kept.shown(days[0].start, days[-1].end) == fresh.shown(days[0].start, days[-1].end)
        cancelled = [item for item in found if "status" in item.contents]
        assert all(item.status.value == "CANCELLED" and not alarms(item) for item in cancelled)
        assert all(item.summary.value.startswith("Cancelled: ") for item in cancelled)
        assert not any("Cancelled: Cancelled" in item.summary.value for item in cancelled)
        gone += len(cancelled)
        ahead = dt.timedelta(minutes=40 if "travel" in keys["more"] else 45)
        for item in found:
            assert item in cancelled or alarms(item) == [-ahead]
    assert gone > 8


def test_what_is_over_or_outside_the_days_or_of_another_spot_is_not_cancelled(coast):
    names = {"post": "Post", "wall": "Wall"}
    whole = coast("2026-08-02", 6, names=names)
    before = calendar(whole)
    none = 'days = ["mon"]\nhours = "00:00-00:10"'
    middle = whole.spots[0].days[2].start
    later = coast("2026-08-02", 4, names=names, more=none, now=middle)
    gone = [item for item in events(calendar(later, before=before)) if "status" in item.contents]
    assert gone
    end = later.spots[0].days[-1].end
    wanted = {item.uid.value for item in events(before) if middle <= item.dtstart.value.timestamp() < end}
    assert {item.uid.value for item in gone} == wanted
    one = coast("2026-08-02", 6, names={"post": "Post"}, more=none)
    gone = [item for item in events(calendar(one, before=before, whole=False)) if "status" in item.contents]
    assert gone and all("Post" in item.summary.value for item in gone)


@pytest.mark.parametrize(
    "before", ["", "no calendar", "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a\r\n", "\x00" * 9]
)
def test_a_file_that_is_no_calendar_cancels_nothing(coast, before):
    made = coast("2026-08-02", 2)
    assert calendar(made, before=before) == calendar(made)
