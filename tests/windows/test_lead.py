"""Lead that holds bottom: the worked table, the inverse, and how it grows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from harmonics.units import KILOGRAMS_PER_OUNCE
from windows.conditions.lead import LEAD, holding_speed, lead_for_grip, lead_to_hold, slip_time
from windows.shoreline.tackle import SinkerKind

BRAID, MONO = 0.23e-3, 0.40e-3
SPEEDS = some.floats(0.05, 2.5)
DEPTHS = some.floats(0.3, 30.0)
DIAMETERS = some.floats(1e-4, 1e-3)
GRIPS = some.floats(0.2, 1.5)


@pytest.mark.parametrize(
    ("depth", "speed", "grip", "diameter", "ounces"),
    [
        (3.0, 0.4, 0.4, BRAID, 0.85),
        (5.0, 0.8, 0.4, BRAID, 5.4),
        (5.0, 0.8, 1.0, BRAID, 2.2),
        (10.0, 1.0, 1.0, BRAID, 5.9),
        (10.0, 1.0, 1.0, MONO, 9.4),
    ],
)
def test_worked_table(depth, speed, grip, diameter, ounces):
    # computed by hand from the stated relation, to two figures
    found = lead_for_grip(speed, depth, diameter, grip) / KILOGRAMS_PER_OUNCE
    assert float(found) == pytest.approx(ounces, rel=0.05)


def test_an_ounce_holds_in_three_metres_at_four_tenths():
    assert float(holding_speed(KILOGRAMS_PER_OUNCE, 3.0, BRAID, 0.4)) > 0.4


@given(SPEEDS, DEPTHS, DIAMETERS, GRIPS)
def test_the_lead_balances_the_pull(speed, depth, diameter, grip):
    """The forces term by term, with the lead found."""
    mass = float(lead_for_grip(speed, depth, diameter, grip))
    line = 0.5 * 1025 * 1.2 * diameter * depth * speed**2 / (1 + 2 / 7)
    radius = (3 * mass / (4 * np.pi * LEAD)) ** (1 / 3)
    near_bottom = 0.5 * 1025 * (0.65 * speed) ** 2
    pull = line / 2 + near_bottom * (0.8 * np.pi * radius**2 + 1.0 * 6e-4)
    weight = mass * 9.81 * (1 - 1025 / 11340)
    assert grip * (weight - line / 4) == pytest.approx(1.5 * pull, rel=1e-9)


@given(SPEEDS, DEPTHS, DIAMETERS, GRIPS)
def test_the_speed_it_holds_is_the_speed_it_was_found_for(speed, depth, diameter, grip):
    lead = lead_for_grip(speed, depth, diameter, grip)
    assert float(holding_speed(lead, depth, diameter, grip)) == pytest.approx(speed)


@given(SPEEDS, DEPTHS, DIAMETERS, GRIPS)
def test_more_flow_depth_line_or_slip_need_more_lead(speed, depth, diameter, grip):
    lead = float(lead_for_grip(speed, depth, diameter, grip))
    assert float(lead_for_grip(1.1 * speed, depth, diameter, grip)) > 1.2 * lead
    assert float(lead_for_grip(speed, 1.1 * depth, diameter, grip)) > lead
    assert float(lead_for_grip(speed, depth, 1.1 * diameter, grip)) > lead
    assert float(lead_for_grip(speed, depth, diameter, 0.9 * grip)) > lead
    assert float(lead_for_grip(-speed, depth, diameter, grip)) == lead


@pytest.mark.parametrize("sinker", SinkerKind)
def test_a_range_of_every_kind(sinker):
    speeds, depths = np.array([0.0, 0.4, 0.8, 1.2]), np.array([[2.0], [8.0]])
    lead = lead_to_hold(speeds, depths, BRAID, sinker)
    assert lead.least.shape == lead.most.shape == (2, 4)
    assert (lead.least[:, 0] == 0).all()
    assert (lead.least[:, 1:] < lead.most[:, 1:]).all()
    assert (np.diff(lead.most, axis=1) > 0).all()


@pytest.mark.parametrize(
    ("sinker", "poorest", "best"),
    [
        # guesses, for no measurement was found: it slides on sand, or digs in
        (SinkerKind.BANK, 0.4, 0.6),
        (SinkerKind.EGG, 0.4, 0.6),
        (SinkerKind.PYRAMID, 0.8, 1.2),
    ],
)
def test_the_grip_of_each_kind(sinker, poorest, best):
    assert (sinker.poorest, sinker.best) == (poorest, best)
    lead = lead_to_hold(0.8, 5.0, BRAID, sinker)
    assert float(lead.most) == float(lead_for_grip(0.8, 5.0, BRAID, poorest))
    assert float(lead.least) == float(lead_for_grip(0.8, 5.0, BRAID, best))


def test_a_pyramid_needs_less_than_a_bank_sinker():
    bank, pyramid = (lead_to_hold(0.8, 5.0, BRAID, k) for k in (SinkerKind.BANK, SinkerKind.PYRAMID))
    assert pyramid.most < bank.least


class TestSlip:
    T = np.array([0.0, 100.0, 200.0, 300.0])

    def test_between_samples(self):
        assert slip_time(self.T, np.array([0.0, -0.5, -1.0, -1.5]), 0.75) == pytest.approx(150.0)

    def test_the_limit_may_change_with_the_depth(self):
        assert slip_time(self.T, np.array([0.5, 0.5, 0.5, 0.5]), [0.9, 0.7, 0.3, 0.1]) == pytest.approx(150.0)

    def test_at_once_or_never(self):
        assert slip_time(self.T, np.array([2.0, 1.0, 0.0, 0.0]), 0.75) == 0.0
        assert slip_time(self.T, np.array([0.2, 0.1, 0.0, 0.0]), 0.75) is None
        assert slip_time(np.empty(0), np.empty(0), 0.75) is None


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: lead_for_grip(np.nan, 3.0, BRAID, 0.4), "speed must be finite"),
        (lambda: lead_for_grip(0.5, -1.0, BRAID, 0.4), "depth must be finite and not below 0"),
        (lambda: lead_for_grip(0.5, 1.0, -BRAID, 0.4), "line diameter must be"),
        (lambda: lead_for_grip(0.5, 1.0, BRAID, 0.0), "grip must be above 0"),
        (lambda: holding_speed(-0.1, 1.0, BRAID, 0.4), "lead must be finite and not below 0"),
    ],
)
def test_bad_input(call, words):
    with pytest.raises(ValueError, match=words):
        call()
