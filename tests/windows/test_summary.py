"""What a file comes to over a year, against sums written down by hand."""

import math

import numpy as np
import pytest

from harmonics.stations.datums import Regime
from tests.windows.conftest import KNOT, coast_text, one_spot, spot_text
from tests.windows.plain_coast import DAY, FIRST, HOUR, OMEGA, SEA, race, sea
from tests.windows.told import bank
from windows.conditions.bait import BankState
from windows.conditions.flow import FlowKind
from windows.forecast.summary import summarise
from windows.render.text.summary import summary_text

YEAR = 2026
STRONGEST = OMEGA
"""Greatest fall of SEA, m/s: its amplitude is one metre."""


def only_spot(shore, keys="", more=""):
    return summarise(shore(one_spot(SEA, keys) + more), YEAR).spots[0]


class TestStations:
    def test_ranges_and_kind_of_a_plain_tide(self, shore):
        (station,) = summarise(shore(one_spot(SEA)), YEAR).stations
        assert station.mean_range == pytest.approx(2.0, abs=1e-3)
        assert station.greatest_range == pytest.approx(2.0, abs=1e-3)
        assert (station.regime, station.form_number) == (Regime.SEMIDIURNAL, 0.0)

    def test_the_form_number_is_of_the_amplitudes(self, shore):
        # F = (K1 + O1) / (M2 + S2), Courtier 1938 (from memory)
        rows = [("M2", 0.5, 10.0), ("S2", 0.3, 20.0), ("K1", 0.4, 30.0), ("O1", 0.2, 40.0)]
        (station,) = summarise(shore(one_spot(rows)), YEAR).stations
        assert station.form_number == pytest.approx(0.6 / 0.8)
        assert station.regime is Regime.MIXED_SEMIDIURNAL

    def test_a_follower_goes_by_its_reference_and_a_still_tide_by_nothing(self, shore):
        cove = (
            '\n[[stations]]\nid = "cove"\nname = "Cove"\nreference = "gauge"\n'
            "high_water = { factor = 0.5 }\nlow_water = { factor = 0.5 }\n"
        )
        told = summarise(shore(coast_text(SEA) + cove + spot_text()), YEAR)
        assert told.stations[1].mean_range == pytest.approx(1.0, abs=1e-3)
        assert told.stations[1].regime is Regime.SEMIDIURNAL
        (still,) = summarise(shore(coast_text([("Mf", 0.2, 0.0)]) + spot_text()), YEAR).stations
        assert still.regime is None and math.isnan(still.form_number)


class TestFlow:
    def test_falling_water_counts_from_shares_of_its_peak(self, shore):
        flow = only_spot(shore).flow
        assert (flow.kind, flow.strong_ebb) == (FlowKind.FALL_ONLY, None)
        assert flow.counts_from == pytest.approx(0.15 * STRONGEST, rel=0.01)
        assert flow.counts_full == pytest.approx(0.80 * STRONGEST, rel=0.01)

    def test_a_basin_by_continuity(self, shore):
        flow = only_spot(shore, "flow = { basin_area_m2 = 200000, opening_area_m2 = 40 }").flow
        assert flow.kind is FlowKind.BASIN
        assert flow.strong_ebb == pytest.approx(200000 / 40 * STRONGEST, rel=0.01)

    def test_a_scaled_fall_and_a_current(self, shore):
        assert only_spot(shore, "flow = { strong_ebb = 1.5 }").flow.strong_ebb == pytest.approx(1.5 * KNOT)
        told = only_spot(shore, "flow = { current = 'race' }", race([("S2", 1.0, 0.0)]))
        assert (told.flow.kind, told.flow.strong_ebb) == (FlowKind.MEASURED, None)

    def test_an_inlet_knows_its_bay(self, shore):
        flow = only_spot(
            shore, "flow = { basin_area_m2 = 1000000, opening_area_m2 = 60, repletion = 0.5 }"
        ).flow
        assert flow.kind is FlowKind.INLET
        assert 0.0 < flow.response.range_ratio < 1.0
        assert flow.strong_ebb > 0.0


@pytest.mark.parametrize(
    ("level", "state"),
    [(0.9, BankState.NEVER_BARES), (1.4, BankState.BARES), (3.1, BankState.ABOVE_HIGH_WATER)],
)
def test_a_bank_over_the_year(shore, level, state):
    assert only_spot(shore, "", bank(level=level)).bank_state is state
    assert only_spot(shore).bank_state is None


def test_shrimp_have_no_level_in_words(shore):
    text = (
        one_spot(SEA) + '\n[[banks]]\nid = "steps"\nname = "Old steps"\nstation = "gauge"\nbait = "shrimp"\n'
    )
    words = summary_text(summarise(shore(text), YEAR), 200)
    assert "shrimp from Old steps on the night ebb" in words and "inf" not in words


def test_each_day_has_the_turns_of_its_flow(forecast):
    # high water at 0 and 12 h UTC, the flow an hour behind
    made = forecast(one_spot(SEA, "slack_lag = 60", zone="Europe/Helsinki"), FIRST, 3)
    for day in made.spots[0].days:
        assert all(day.start <= slack.t < day.end for slack in day.slacks)
        hours = [(round(slack.t / HOUR, 2) % 24.0, slack.goes_out) for slack in day.slacks]
        assert sorted(hours) == [(1.0, True), (7.0, False), (13.0, True), (19.0, False)]
        for slack in day.slacks:
            just = sea(np.array([slack.t, slack.t + 600.0]) - HOUR)
            assert (just[1] < just[0]) == slack.goes_out
    assert made.spots[0].days[1].start % DAY == 21 * HOUR
