"""Random harmonic stations of every regime, for hypothesis."""

from hypothesis import strategies as st

from harmonics.stations.types import Station
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import station_of

FIRST, LAST = year_start(1850), year_start(2100)

# Amplitudes: the leading constituent in metres, the others as the largest share of it that is drawn.
# Form number (K1 + O1)/(M2 + S2), Courtier 1938 (from memory): at most 0.2, about 0.25 to 3, above 3.
_SHARES = {
    "semidiurnal": (
        "M2",
        (0.3, 3.0),
        {"S2": 0.4, "N2": 0.25, "K2": 0.1, "K1": 0.1, "O1": 0.1, "M4": 0.1, "SA": 0.1},
    ),
    "mixed": (
        "M2",
        (0.1, 1.0),
        {"S2": 0.5, "K1": 1.0, "O1": 0.8, "P1": 0.3, "N2": 0.2, "M1": 0.05, "MS4": 0.05},
    ),
    "diurnal": (
        "K1",
        (0.05, 0.6),
        {"O1": 1.0, "P1": 0.3, "Q1": 0.2, "M2": 0.1, "S2": 0.05, "SSA": 0.2, "J1": 0.05},
    ),
}
TIDELESS_SUM = 0.003
"""Sum of a tideless station's amplitudes, metres: with node factors below 1.6 no two extremes are 10 mm
apart."""

REGIMES = (*_SHARES, "tideless")
phases = st.floats(0.0, 360.0, exclude_max=True)
instants = st.integers(int(FIRST), int(LAST)).map(float)


@st.composite
def stations(
    draw: st.DrawFn, regimes: tuple[str, ...] = REGIMES, practice: NodePractice | None = None
) -> Station:
    """A station of one of the regimes; of either node practice unless one is given."""
    regime = draw(st.sampled_from(regimes))
    chosen = practice or draw(st.sampled_from(NodePractice))
    mean_level = draw(st.floats(-2.0, 2.0))
    if regime == "tideless":
        names = draw(st.lists(st.sampled_from(("M2", "S2", "K1", "O1", "SA")), unique=True))
        rows = [(name, TIDELESS_SUM / len(names), draw(phases)) for name in names]
        return station_of(rows, chosen, mean_level)
    lead, (least, greatest), shares = _SHARES[regime]
    amplitude = draw(st.floats(least, greatest))
    rows = [(lead, amplitude, draw(phases))]
    rows += [(name, amplitude * draw(st.floats(0.0, share)), draw(phases)) for name, share in shares.items()]
    return station_of(rows, chosen, mean_level)
