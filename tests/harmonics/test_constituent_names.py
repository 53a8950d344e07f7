"""Names of constituents: every spelling found, what means nothing refused with near names."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.catalogue.arguments import longitude_speeds
from harmonics.catalogue.constituents import find
from harmonics.catalogue.equilibrium import COEFFICIENTS, INFERENCE_PAIRS, SHALLOW_WATER
from harmonics.errors import UnknownConstituentError
from tests.harmonics.conftest import known


@pytest.mark.parametrize(
    ("alias", "name"),
    [
        ("LAM2", "LAMBDA2"),
        ("LDA2", "LAMBDA2"),
        ("lambda2", "LAMBDA2"),
        ("RHO", "RHO1"),
        ("nu2", "NU2"),
        ("ν2", "NU2"),
        ("μ2", "MU2"),
        ("λ2", "LAMBDA2"),
        ("σ1", "SIGMA1"),
        ("Msf", "MSF"),
        ("Mf", "MF"),
        ("SGM", "SIGMA1"),
        ("EPS2", "EPSILON2"),
        ("EP2", "EPSILON2"),
        ("KJ2", "ETA2"),
        ("UPS1", "UPSILON1"),
        ("MFM", "MTM"),
        (" m 2 ", "M2"),
        ("LAMBDA_2", "LAMBDA2"),
        ("ms4", "MS4"),
    ],
)
def test_aliases_and_spellings(alias, name):
    assert find(alias) == find(name)
    assert find(alias).name == name


OTHER_NAMES = {
    "LAMBDA2": "LAM2 LDA2 LA2 LABDA2",
    "RHO1": "RHO RO1",
    "NU2": "NU",
    "MU2": "MU",
    "SIGMA1": "SIG1 SGM SGM1",
    "ALPHA1": "ALP1 ALF1 α1",
    "BETA1": "BET1 BE1 β1",
    "TAU1": "TA1 τ1",
    "CHI1": "CH1 χ1",
    "PSI1": "PS1 ψ1",
    "PHI1": "PH1 φ1",
    "PI1": "π1",
    "THETA1": "THE1 TH1 TT1 θ1",
    "UPSILON1": "UPS1 υ1",
    "EPSILON2": "EPS2 EP2 E2 ε2",
    "GAMMA2": "GAM2 γ2",
    "H1": "ALPHA2 ALP2 α2",
    "H2": "BETA2 BET2 β2",
    "ZETA2": "ZET2 ζ2",
    "ETA2": "KJ2 ET2 η2",
    "MSQM": "MSQ",
    "MTM": "MT MFM",
}
"""Spellings of agencies and programs (common practice)."""


@pytest.mark.parametrize(("name", "others"), OTHER_NAMES.items())
def test_every_other_spelling(name, others):
    assert {find(other).name for other in others.split()} == {name}


@pytest.mark.parametrize("name", [*COEFFICIENTS, *SHALLOW_WATER, *INFERENCE_PAIRS, *INFERENCE_PAIRS.values()])
def test_lists_of_lines_use_the_names_of_the_catalogue(name):
    assert find(name).name == name


@pytest.mark.parametrize("name", ["M4", "M6", "M8", "MS4", "MN4", "MK3", "2MK3", "2SM2"])
def test_compounds_may_be_near_names(name):
    with pytest.raises(UnknownConstituentError) as caught:
        find(f"{name[:-1]}%{name[-1]}")
    assert name in caught.value.near


@pytest.mark.parametrize(
    ("name", "near"),
    [("SOLAR", ("SA", "STA", "SSA")), ("LUNAR", ("LA2",)), ("NOD", ())],
)
def test_half_of_the_letters_in_order_make_a_name_near(name, near):
    """Twice the letters shared in order, over the letters of both."""
    with pytest.raises(UnknownConstituentError) as caught:
        find(name)
    assert caught.value.near == near


def test_near_names_as_a_person_reads_them():
    error = UnknownConstituentError("LAMDA2", ("LAMBDA2", "LAM2"))
    assert str(error) == "unknown constituent 'LAMDA2'; near names: LAMBDA2, LAM2"
    assert str(UnknownConstituentError("€", ())) == "unknown constituent '€'"


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("LAMDA2", "LAMBDA2"),
        ("M22", "M2"),
        ("NUU2", "NU2"),
        ("2MK", "2MK3"),
        ("RH1", "RHO1"),
        ("MSFF", "MSF"),
        ("OOO1", "OO1"),
    ],
)
def test_an_unknown_name_is_an_error_that_lists_near_names(name, near):
    with pytest.raises(UnknownConstituentError) as caught:
        find(name)
    assert near in caught.value.near
    assert str(caught.value).startswith(f"unknown constituent '{name}'; near names: ")
    assert near in str(caught.value)


@pytest.mark.parametrize(
    "name", ["", "Z0", "X9", "2", "(", "()2", "0M2", "1M2", "K1K2", "M0", "MS5", "M99", "MK", "M-2"]
)
def test_names_that_mean_nothing_are_refused(name):
    with pytest.raises(UnknownConstituentError) as caught:
        find(name)
    assert caught.value.name == name


def test_an_endless_name_is_refused_and_shortened():
    with pytest.raises(UnknownConstituentError) as caught:
        find("M" * 10_000 + "2")
    assert len(str(caught.value)) < 100


@given(st.text(max_size=30))
def test_any_text_is_a_constituent_or_an_error(text):
    try:
        row = find(text)
    except UnknownConstituentError as error:
        assert error.name == text
    else:
        assert row.speed == pytest.approx(15 * row.species, abs=4.0 + 0.1 * row.species)


_WORDS = st.lists(
    st.tuples(
        st.sampled_from(("", "2", "3", "4")), st.sampled_from(("M", "S", "N", "K", "O", "NU", "L", "T"))
    ),
    min_size=1,
    max_size=4,
)


@given(words=_WORDS, species=st.integers(1, 12))
def test_a_compound_has_the_species_its_name_closes_with(words, species):
    name = "".join(multiple + letter for multiple, letter in words) + str(species)
    if not known(name):
        return
    row = find(name)
    assert row.species == species
    whole = np.dot(row.argument, longitude_speeds()) + row.node_perigee * longitude_speeds()[3]
    assert row.speed == pytest.approx(whole, abs=1e-12)
    assert find(name.lower()) == row
