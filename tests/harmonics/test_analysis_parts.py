"""Parts of an analysis by themselves: bands of a residual, noise around lines, intervals along and across."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.constituents import find
from harmonics.errors import EbblightError
from harmonics.fitting.analysis import Line, _lines, _phase_error, fit
from harmonics.fitting.design import BlockSums, make_design
from harmonics.fitting.residuals import (
    BANDS,
    Spectrum,
    band_deviations,
    noise_at,
    slow_noise,
    spectrum,
    two_sided_95,
)
from harmonics.fitting.selection import RAYLEIGH, Inference, resolve, select
from harmonics.fitting.weather import NEAR_WIDTH, _chance, _level
from harmonics.stations.components import along_direction
from harmonics.stations.types import TwoComponentStation
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import constants_of

HOUR = 3600.0
T = HOUR * np.arange(24 * 100)


def wave(cycles_a_day, amplitude):
    return amplitude * np.cos(2.0 * np.pi * cycles_a_day * T / 86400.0)


@pytest.mark.parametrize(
    ("cycles", "name"),
    [
        (0.1, "slower than the tide (weather and seasons)"),
        (0.69, "slower than the tide (weather and seasons)"),
        (0.7, "diurnal"),
        (1.0, "diurnal"),
        (1.6, "semidiurnal"),
        (2.0, "semidiurnal"),
        (2.6, "third-diurnal"),
        (3.0, "third-diurnal"),
        (3.6, "fourth-diurnal"),
        (4.0, "fourth-diurnal"),
        (4.4, "faster"),
        (8.0, "faster"),
        (1.4, None),
        (2.5, None),
        (3.5, None),
    ],
)
def test_a_residual_of_one_period_lies_in_its_band_alone(cycles, name):
    bands = band_deviations(spectrum(T, wave(cycles, 0.2), HOUR))
    found = {band.name: band.deviation for band in bands}
    expected = {band: 0.2 / np.sqrt(2.0) if band == name else 0.0 for band, _, _ in BANDS}
    assert found == pytest.approx(expected, abs=1e-9)


def test_bands_end_where_the_step_does():
    bands = band_deviations(spectrum(T[::6], wave(1.0, 0.2)[::6], 6 * HOUR))
    assert [band.name for band in bands] == [name for name, _, _ in BANDS[:3]]
    assert bands[-1].high == 2.0
    assert bands[1].low == 0.7


def test_the_power_of_white_noise_is_its_variance_gaps_or_none():
    rng = np.random.default_rng(1)
    noise = rng.normal(scale=0.3, size=len(T))
    for kept in (np.ones(len(T), dtype=bool), rng.random(len(T)) < 0.5):
        kept[[0, -1]] = True
        found = spectrum(T[kept], noise[kept], HOUR)
        assert found.power.mean() == pytest.approx(0.09, rel=0.05)
        assert (found.count, found.length) == (kept.sum(), len(T))
        assert found.frequency[0] == pytest.approx(0.01)


def test_the_noise_under_a_line_is_that_of_the_bins_around():
    frequency = 0.01 * np.arange(1, 601)
    power = np.where((frequency > 0.8) & (frequency < 1.2), 4.0, 1.0)
    found = noise_at((find("K1"), find("M2")), Spectrum(frequency, power, 1200, 1200))
    # twenty bins within 0.1 of each, one of them the line's own
    assert_allclose(found.variance, [4.0 * 20 / 19, 20 / 19], rtol=0.06)
    assert_allclose(found.freedom, [38.0, 38.0], atol=2.1)


def test_the_noise_under_slow_lines_follows_a_red_slope():
    frequency = 0.002 * np.arange(1, 1001)
    power = 0.01 / frequency**1.5
    found = noise_at((find("MM"), find("MF")), Spectrum(frequency, power, 2000, 2000))
    lines = np.array([find(name).speed for name in ("MM", "MF")]) * 24.0 / 360.0
    assert_allclose(found.variance, 0.01 / lines**1.5 * np.exp(0.5772156649), rtol=0.01)
    assert found.freedom[0] > 100
    assert slow_noise((find("MM"),), Spectrum(frequency, power, 2000, 2000)) == pytest.approx(
        0.01 / 0.002**1.5 * np.exp(0.5772156649), rel=0.05
    )


def test_few_slow_bins_are_their_mean():
    frequency = 0.2 * np.arange(1, 50)
    few = Spectrum(frequency, np.full(49, 2.0), 100, 100)
    found = noise_at((find("MM"), find("M2")), few)
    assert found.variance[0] == pytest.approx(2.0)
    assert found.freedom[0] == 6.0
    none = noise_at((find("MM"),), Spectrum(np.array([0.9, 1.8]), np.ones(2), 4, 4))
    assert (none.variance[0], none.freedom[0]) == (0.0, 2.0)


@pytest.mark.parametrize("slope", [0.0, -0.7, -1.5])
def test_the_weather_at_a_line_follows_the_slope_on_both_sides(slope):
    frequency = 0.005 * np.arange(1, 141)
    here = Spectrum(frequency, 3.0 * frequency**slope, 300, 300)
    for wanted in (0.0363, 0.0732):
        use = (np.abs(frequency - wanted) > 0.004) & (frequency < 0.7)
        level, freedom = _level(here, use, wanted)
        assert level == pytest.approx(3.0 * wanted**slope)
        assert 10.0 < freedom < 2.0 * use.sum()
    away = np.abs(np.log(frequency / 0.0732)) > 3.0 * NEAR_WIDTH
    raised = Spectrum(frequency, np.where(away, 100.0, 3.0), 300, 300)
    assert _level(raised, np.ones(140, dtype=bool), 0.0732)[0] < 6.0


@pytest.mark.parametrize(
    ("freedom", "ratio", "chance"),
    [(10.0, 4.103, 0.05), (30.0, 3.316, 0.05), (10.0, 7.559, 0.01), (60.0, 3.150, 0.05)],
)
def test_the_chance_that_noise_is_as_strong(freedom, ratio, chance):
    """Abramowitz & Stegun, table 26.9, F of 2 and n degrees: the line's power over that beside it."""
    amplitude = np.sqrt(ratio * 4.0 * 0.5 / 200.0)
    assert _chance(amplitude, 0.5, freedom, 200) == pytest.approx(chance, rel=0.002)
    assert _chance(0.0, 0.5, freedom, 200) == 1.0
    assert _chance(0.1, 0.0, freedom, 200) == 0.0


def test_a_level_too_small_to_have_a_spread_is_explained_by_nothing():
    assert np.isnan(fit(T, 1e-200 * wave(2.0, 1.0), names=["S2"]).explained)


def test_quantiles_of_student():
    """Abramowitz & Stegun, table 26.10, two-sided 95 %."""
    from scipy.stats import t as student

    assert_allclose(two_sided_95(np.array([5.0, 10.0, 30.0, 1e9])), [2.571, 2.228, 2.042, 1.960], atol=0.003)
    freedom = np.array([10.0, 15.0, 20.0, 30.0, 50.0])
    assert (np.abs(two_sided_95(freedom) - student.ppf(0.975, freedom)) < 2.0 / freedom**5).all()
    assert two_sided_95(np.array([0.5])) == two_sided_95(np.array([2.0]))


def found_lines(z, covariance, inferred=(), weather=None):
    design = SimpleNamespace(fitted=(find("M2"),))
    coefficients = np.array([z.real, z.imag, 0.0])
    return _lines(
        design, SimpleNamespace(inferred=inferred), coefficients, covariance, np.array([2.0]), weather or {}
    )


def test_an_amplitude_is_as_uncertain_as_its_vector_along_and_a_phase_as_across():
    covariance = np.array([[0.04, 0.01, 0.0], [0.01, 0.01, 0.0], [0.0, 0.0, 1.0]])
    for angle in (0.0, 30.0, 200.0):
        z = 3.0 * np.exp(1j * np.radians(angle))
        (line,) = found_lines(z, covariance)
        along = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
        across = np.array([-along[1], along[0]])
        half, turn = (2.0 * np.sqrt(part @ covariance[:2, :2] @ part) for part in (along, across))
        assert line.amplitude == pytest.approx(3.0)
        assert line.phase_lag == pytest.approx(-angle % 360.0)
        assert line.amplitude_error == pytest.approx(half)
        assert line.phase_error == pytest.approx(np.degrees(np.arcsin(turn / 3.0)))
        assert line.snr == pytest.approx((3.0 / half) ** 2)
        assert line.trusted


def test_an_inferred_line_is_as_good_as_that_it_comes_from():
    item = Inference("S2", "M2", 0.5, 350.0, "equilibrium")
    first, second = found_lines(2.0 * np.exp(-1j * np.radians(20.0)), 0.01 * np.eye(3), (item,))
    assert (first.name, second.name) == ("M2", "S2")
    assert (second.amplitude, second.phase_lag) == pytest.approx((1.0, 10.0))
    assert (second.amplitude_error, second.phase_error, second.snr) == pytest.approx(
        (0.5 * first.amplitude_error, first.phase_error, first.snr)
    )
    assert second.inference is item and first.inference is None


def test_a_phase_of_nothing_is_none():
    assert _phase_error(0.5, 1.0) == pytest.approx(30.0)
    assert _phase_error(1.0, 1.0) == 180.0
    assert _phase_error(0.0, 0.0) == 180.0
    (line,) = found_lines(1.0 + 0.0j, np.zeros((3, 3)))
    assert line.snr == np.inf and line.trusted


def test_what_is_trusted():
    def line(snr, clear):
        return Line(find("MM"), 1.0, 0.0, 0.1, 1.0, snr, None, SimpleNamespace(clear=clear))

    assert line(2.0, True).trusted and not line(1.99, True).trusted
    assert line(1000.0, False).trusted and not line(999.0, False).trusted


def test_a_line_by_any_of_its_names():
    found = fit(T, wave(2.0, 0.3) + wave(1.0, 0.1), names=["S2", "LAMBDA2"])
    assert [line.name for line in found.lines] == ["LAMBDA2", "S2"]
    assert found.line("LAM2") is found.line("LDA2") is found.lines[0]
    with pytest.raises(KeyError, match=r"^'M2'$"):
        found.line("M2")


@pytest.mark.parametrize("practice", NodePractice)
def test_columns_that_are_too_many_to_keep_are_made_anew(practice, monkeypatch):
    t = year_start(2024) - 5 * 86400.0 + HOUR * np.arange(240)
    design = make_design(t, select(10 * 86400.0, HOUR), practice, True)
    values, coefficients = np.sin(t / 5000.0), np.linspace(-1.0, 1.0, design.columns)
    shares = []
    kept = BlockSums(design, shares.append)
    monkeypatch.setattr("harmonics.fitting.design.KEPT_BYTES", 0)
    monkeypatch.setattr("harmonics.fitting.design.BLOCK", 50)
    fresh = BlockSums(design, shares.append)
    for _ in range(2):
        assert_allclose(fresh.gram(), kept.gram(), atol=1e-9)
        assert_allclose(fresh.project(values), kept.project(values), atol=1e-9)
        assert_allclose(fresh.evaluate(coefficients), kept.evaluate(coefficients), atol=1e-12)
    assert shares[-1] == 1.0 and all(0.0 < share <= 1.0 for share in shares)


def test_a_record_of_one_reading():
    with pytest.raises(EbblightError, match=r"^found one level alone, 1\.250 m; expected a tide's$"):
        fit([0.0], [1.25])


def test_lines_that_a_record_tells_apart():
    """Thirty days tell M2 from N2 and S2; K2 needs half a year from S2, T2 a year."""
    admitted, left = resolve(30 * 86400.0, HOUR)
    names = [row.name for row in admitted]
    assert {"M2", "S2", "N2", "K1", "O1"} <= set(names)
    days = {item.name: item for item in left}
    assert not {"K2", "T2", "P1"} & set(names)
    assert {name: days[name].neighbour for name in ("K2", "T2", "P1", "SA")} == {
        "K2": "S2",
        "T2": "S2",
        "P1": "K1",
        "SA": "",
    }
    assert days["K2"].days == pytest.approx(RAYLEIGH * 182.62, abs=0.1)
    assert days["T2"].days == pytest.approx(RAYLEIGH * 365.26, abs=0.1)
    assert days["SA"].days == pytest.approx(RAYLEIGH * 365.24, abs=0.1)
    short, _ = resolve(30 * 86400.0, 6.3 * HOUR)
    assert all(row.speed < 180.0 / 6.3 for row in short)


def test_ratios_of_a_station_near_by_replace_those_of_the_equilibrium():
    near = constants_of([("S2", 0.5, 100.0), ("K2", 0.2, 110.0), ("K1", 0.3, 20.0), ("P1", 0.09, 350.0)])
    found = {item.name: item for item in select(30 * 86400.0, HOUR, reference=near).inferred}
    assert (found["K2"].ratio, found["K2"].lag) == pytest.approx((0.4, 10.0))
    assert (found["P1"].ratio, found["P1"].lag) == pytest.approx((0.3, -30.0))
    assert found["P1"].source == found["K2"].source == "reference station"
    assert (found["T2"].source, found["T2"].lag) == ("equilibrium", 0.0)
    assert found["T2"].ratio == pytest.approx(0.02479 / 0.42286)


def test_a_direction_of_a_whole_turn_is_north():
    waves = constants_of([("M2", 1.0, 0.0)])
    here = TwoComponentStation("a", "A", 0.0, 0.0, 90.0, 0.0, 0.1, 0.2, waves, waves, 90.0)
    found = along_direction(here, 360.0)
    assert (found.flood_direction, found.ebb_direction) == (0.0, 180.0)
    assert found.mean_flow == pytest.approx(0.2)


def test_how_much_of_a_record_is_explained():
    rng = np.random.default_rng(2)
    noise = rng.normal(scale=0.1, size=len(T))
    found = fit(T, wave(find("M2").speed * 24.0 / 360.0, 1.0) + noise, names=["M2"])
    assert found.explained == pytest.approx(1.0 - 0.01 / 0.51, abs=0.005)
    assert found.deviation == pytest.approx(0.1, rel=0.05)
    assert Inference("K2", "S2", 0.27).lag == 0.0
