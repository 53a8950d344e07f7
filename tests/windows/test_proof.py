"""Forecasts of the past against records: two published ones, and made ones whose truth is known."""

from datetime import UTC, date, datetime
from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.errors import EbblightError
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import station_of
from tests.harmonics.dry_bar_response import judged
from tests.harmonics.records_of import DAY, HOUR, red_noise
from tests.windows.published_proofs import dry_bar_proof, honolulu_proof, proof_of
from windows import guide
from windows.forecast.proving import Observed, _turns
from windows.render.words.phrases import words_of
from windows.render.words.proof import headline

WAVES = [("M2", 0.5, 110.0), ("S2", 0.15, 150.0), ("K1", 0.05, 30.0)]
FIRST = date(2026, 5, 1)


@pytest.fixture(scope="module")
def dry():
    return dry_bar_proof()


@pytest.fixture(scope="module")
def hnl():
    return honolulu_proof()


def test_the_guide_tells_these_figures(dry, hnl):
    """Change the page with the forecast: `python -m tests.windows.published_proofs` prints them."""
    page = " ".join(guide.page("records").text.split())
    assert headline(dry, words_of(dry.head)) in page
    rows = {
        "sessions that came true": [f"{proof.came} of {len(proof.sessions)}" for proof in (dry, hnl)],
        "Brier score of good water by the hour": [f"{proof.hour_scores.brier:.3f}" for proof in (dry, hnl)],
        "the same by the tide alone": [f"{proof.hour_scores.plain:.3f}" for proof in (dry, hnl)],
        "levels in their range of eight in ten": [
            f"{proof.in_range:.0%}"[:-1] + " of 100" for proof in (dry, hnl)
        ],
        "level off, standard deviation": [f"{proof.error.deviation:.2f} m" for proof in (dry, hnl)],
        "the same, weather as it was, of that without": [
            f"{dry.error.with_weather / dry.error.same_hours:.2f}",
            "not known",
        ],
    }
    for name, cells in rows.items():
        assert f"| {name} | {' | '.join(cells)} |" in page
    years = judged()
    slow, whole = 100 * years["2013"].slow, 100 * years["2013"].whole
    assert f"vary by {slow:.0f} of {whole:.0f} cm" in page
    assert f"weather leaves {years['2013'].left_of_passing:.2f}" in page
    assert f"judged on 2012, it leaves {years['2012'].left:.2f} of all" in page
    for k in range(10):
        both = [proof.hour_scores.tenths[k] for proof in (dry, hnl)]
        cells = [f"{100 * item.said:.0f}, {100 * item.seen:.0f}, {item.count}" for item in both]
        assert f"| {10 * k} to {10 * k + 10} | {' | '.join(cells)} |" in page


@pytest.mark.parametrize("name", ["dry", "hnl"])
def test_chances_come_true_at_published_records(name, request):
    proof = request.getfixturevalue(name)
    for found in (proof.session_scores, proof.hour_scores):
        for tenth in found.tenths:
            assert tenth.count < 50 or tenth.said == pytest.approx(tenth.seen, abs=0.1)
    assert proof.hour_scores.brier <= proof.hour_scores.plain
    assert proof.hour_scores.brier < proof.hour_scores.climate


def test_ranges_hold_eight_in_ten(dry, hnl):
    assert 0.75 <= dry.in_range <= 0.85
    assert 0.75 <= hnl.in_range <= 0.85


def test_chances_beat_the_plain_forecast_by_a_quarter_where_weather_rules(dry):
    assert dry.hour_scores.brier <= 0.75 * dry.hour_scores.plain
    assert dry.session_scores.brier <= 0.75 * dry.session_scores.plain
    assert len(dry.sessions) > 400
    assert dry.came / len(dry.sessions) > 0.85


def test_weather_as_it_was_explains_a_part_of_the_level(dry):
    assert dry.error.with_weather is not None
    assert dry.error.with_weather < 0.862 * dry.error.same_hours
    assert dry.response > 0.1


def test_readings_of_the_day_help_and_fading_is_no_worse_than_keeping_them_whole(dry):
    assert [item.hours for item in dry.leads] == [1, 3, 6, 12, 24, 48]
    for item in dry.leads:
        assert item.count > 200
        assert item.fading < item.nothing
        assert item.fading <= item.persistence * 1.01
    assert [item.fading for item in dry.leads] == sorted(item.fading for item in dry.leads)


def made(late=0.0, noise=0.0, days=150, gap=None):
    """Readings of a made gauge in 2026 whose water comes so late."""
    station = station_of(WAVES, mean_level=2.0)
    t = year_start(2026) + HOUR * np.arange(days * 24)
    level = levels(station, t - late) + (red_noise(len(t), 10.0, noise, 5) if noise else 0.0)
    if gap is not None:
        level[gap] = np.nan
    return station, Observed(t, level, None, "made")


class TestMade:
    def test_water_that_keeps_to_its_tide_always_comes(self):
        proof = proof_of(*made(noise=0.002), FIRST)
        assert proof.came == len(proof.sessions) > 40
        assert proof.hidden == 0
        assert proof.error.deviation == pytest.approx(0.002, abs=0.001)
        assert proof.error.mean == pytest.approx(0.0, abs=0.001)
        assert abs(proof.turns.late) < 90.0
        assert proof.turns.missing == 0
        assert all(tenth.said > 0.9 or tenth.said < 0.1 for tenth in proof.session_scores.tenths)
        plain, came = proof.hours.plain, proof.hours.came
        assert np.mean(plain == came) > 0.99

    def test_late_water_has_late_turns_and_the_record_knows_it(self):
        station, observed = made(late=900.0, noise=0.01)
        proof = proof_of(station, observed, FIRST)
        assert proof.turns.late == pytest.approx(900.0, abs=240.0)
        assert proof.hour_scores.brier < 0.5 * proof.hour_scores.plain

    def test_constants_of_the_first_part_put_a_clock_right(self):
        station, observed = made(late=900.0, noise=0.01)
        proof = proof_of(station, observed, FIRST, refit=True)
        assert proof.refitted
        assert proof.turns.late == pytest.approx(0.0, abs=240.0)
        assert proof.station.constants.named()["M2"].phase_lag == pytest.approx(
            110.0 + 0.25 * 28.984104, abs=1.5
        )

    def test_sessions_in_a_gap_are_counted_apart(self):
        whole = proof_of(*made(noise=0.05), FIRST)
        start = int((datetime(2026, 5, 12, tzinfo=UTC).timestamp() - year_start(2026)) // HOUR)
        holed = proof_of(*made(noise=0.05, gap=slice(start, start + 48)), FIRST)
        assert 2 <= holed.hidden <= 7
        assert len(holed.sessions) + holed.hidden == pytest.approx(len(whole.sessions), abs=2)
        assert not any(
            start * HOUR <= item.start - year_start(2026) < (start + 48) * HOUR for item in holed.sessions
        )

    def test_the_judged_part_begins_where_it_is_asked_or_with_the_last_third(self):
        proof = proof_of(*made(noise=0.05), None)
        assert proof.start == pytest.approx(year_start(2026) + 150 * DAY * 2 / 3, abs=DAY)
        asked = proof_of(*made(noise=0.05), FIRST)
        assert asked.start == datetime(2026, 5, 1, tzinfo=UTC).timestamp()
        assert all(asked.start <= item.start < asked.end for item in asked.sessions)

    @pytest.mark.parametrize("first", [date(2025, 12, 1), date(2026, 5, 20), date(2031, 1, 1)])
    def test_too_short_a_part_is_refused(self, first):
        with pytest.raises(
            EbblightError, match="readings from 2026-01-01 to 2026-05-30; expected a part before"
        ):
            proof_of(*made(noise=0.05), first)


def test_water_that_only_rises_has_no_turn_to_time():
    """A rise faster than any fall of the tide: highest at the end of each search, lowest at its start."""
    station, observed = made(days=20)
    rise = 2e-4 * (observed.t - observed.t[0])
    real = SimpleNamespace(t=observed.t, level=rise, start=observed.t[0], end=observed.t[-1])
    found = _turns(station, real)
    assert found.found == 0
    assert found.missing > 60


def test_the_last_third_begins_with_a_day_of_the_shore_s_own_clock():
    """Two thirds of 503 hours end at 23:20 on 14 January UTC, which is the 15th in Kiribati."""
    station, observed = made(days=21)
    with pytest.raises(EbblightError, match="expected a part before 2026-01-15"):
        proof_of(station, observed, None, zone="Pacific/Kiritimati")
