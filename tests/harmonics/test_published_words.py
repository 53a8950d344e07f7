"""Words of published tables: what a title or a line above says, in the languages of hydrographic offices.

All words are common practice.
"""

import pytest

from harmonics.files.published.columns import Axis, Role, column, only_units
from harmonics.files.published.units import PhaseKind, TableUnit, offset_in, phase_kinds_in, units_in

TITLES = {
    Role.NUMBER: "# no nr num number n° № nº index order rank const_no",
    Role.NAME: "name names nom nombre nome symbol code constituent constituents const harmonic component "
    "wave tide line onde ondes composante constituant componente constituyente constituinte armonico "
    "armónico onda tiden partialtide konstituente",
    Role.AMPLITUDE: "amp amplitude Amplitud semirange sema H h major minor semi knots cm/s",
    Role.PHASE: "phase phases lag lags pha fase fases epoch situation kappa κ φ phasenlage phasenwinkel "
    "phi g G g°",
    Role.SPEED: "speed speeds frequency freq period periods vitesse velocidad geschwindigkeit rate",
    Role.AZIMUTH: "azimuth inclination inc bearing orientation direction azimut inclinaison",
    Role.OTHER: "err error errors std sd sigma σ stdev uncertainty ci interval snr erreur accuracy ± 95% "
    "description remark remarks comment origin meaning nature note notes anything",
}


class TestColumns:
    @pytest.mark.parametrize("role", TITLES)
    def test_every_word(self, role):
        for word in TITLES[role].split():
            assert column(0, word).role is role, word

    @pytest.mark.parametrize(
        ("title", "role"),
        [
            ("Constituent No", Role.NUMBER),
            ("name no", Role.NAME),
            ("amplitude error", Role.OTHER),
            ("phase std", Role.OTHER),
            ("mean speed", Role.MEAN),
            ("Mean flow", Role.MEAN),
            ("mean current", Role.MEAN),
            ("mean (knots)", Role.MEAN),
            ("mean amplitude", Role.AMPLITUDE),
            ("speed (knots)", Role.AMPLITUDE),
            ("speed (deg/h)", Role.SPEED),
            ("phase speed", Role.PHASE),
            ("tide speed", Role.SPEED),
            ("major axis azimuth", Role.AZIMUTH),
            ("majorPhaseGMT", Role.PHASE),
            ("H (m)", Role.AMPLITUDE),
            ("h [ft]", Role.AMPLITUDE),
            ("hour", Role.OTHER),
            ("g (deg)", Role.PHASE),
        ],
    )
    def test_words_that_go_together(self, title, role):
        assert column(0, title).role is role

    @pytest.mark.parametrize(
        ("axis", "words"),
        [
            (Axis.MAJOR, "major sema along semimajor"),
            (Axis.MINOR, "minor across semiminor"),
            (Axis.EAST, "east eastward u zonal"),
            (Axis.NORTH, "north northward v meridional"),
        ],
    )
    def test_axes(self, axis, words):
        for word in words.split():
            assert column(0, f"{word} amplitude").axis is axis, word
        assert column(0, "semi").axis is Axis.MINOR
        assert column(0, "semi amplitude").axis is Axis.NONE
        assert column(0, "amplitude").axis is Axis.NONE

    @pytest.mark.parametrize(
        ("title", "phases"),
        [
            ("G", {PhaseKind.GREENWICH}),
            ("g", set()),
            ("g (UTC)", {PhaseKind.GREENWICH}),
            ("G (local)", {PhaseKind.GREENWICH}),
            ("g (local)", {PhaseKind.LOCAL}),
            ("G°", {PhaseKind.GREENWICH}),
            ("phase", set()),
            ("phase local", {PhaseKind.LOCAL}),
            ("phase_GMT", {PhaseKind.GREENWICH}),
            ("phase (UTC-5)", {PhaseKind.LOCAL}),
        ],
    )
    def test_kinds_of_lags(self, title, phases):
        assert column(0, title).phases == phases

    def test_what_a_column_carries(self):
        found = column(3, "  phase   (UTC-5) ")
        assert (found.index, found.title, found.offset, found.meridian) == (3, "phase (UTC-5)", -5.0, False)
        assert column(0, "kappa").meridian and column(0, "phase κ").meridian
        assert column(1, "Amplitude (ft)").units == (TableUnit.FEET,)
        assert column(1, "anything (ft)").units == ()
        assert len(column(1, "x" * 200).title) == 120

    @pytest.mark.parametrize(
        ("titles", "alone"),
        [
            (["", "m", "deg"], True),
            (["(ft)", "(deg GMT)"], True),
            (["utc -5", "°/hour"], True),
            (["kn", "G", "degrees true"], True),
            (["", ""], False),
            (["m", "M2"], False),
            (["m " * 21], False),
        ],
    )
    def test_a_line_of_units(self, titles, alone):
        assert only_units(titles) is alone


class TestUnits:
    @pytest.mark.parametrize(
        ("unit", "words"),
        [
            (TableUnit.METRES, "m; metres; meter; Metric; mètres; metros"),
            (TableUnit.CENTIMETRES, "cm; centimetres; centimètre"),
            (TableUnit.MILLIMETRES, "mm; millimetres"),
            (TableUnit.FEET, "ft; foot; Feet; English; pieds; pies"),
            (TableUnit.INCHES, "inch; inches; (in); [in.]"),
            (TableUnit.KNOTS, "knot; knots; kt; kts; kn; nœud; noeuds; nudos; Knoten"),
            (TableUnit.METRES_PER_SECOND, "m/s; m / sec; m s-1; m s^-1; metres per second; metres a second"),
            (TableUnit.CENTIMETRES_PER_SECOND, "cm/s; cm/second; centimetres per second"),
            (TableUnit.MILLIMETRES_PER_SECOND, "mm/s; millimetres per second"),
        ],
    )
    def test_words(self, unit, words):
        for word in words.split("; "):
            assert units_in(f"amplitude_{word}") == [unit] or units_in(f"amplitude {word}") == [unit], word

    def test_several_and_none(self):
        assert units_in("deg/hour, m and ft") == [TableUnit.FEET, TableUnit.METRES]
        assert units_in("° per hour") == units_in("in the harbour") == units_in("arm") == []

    @pytest.mark.parametrize(
        ("text", "hours"),
        [
            ("UTC-5", -5.0),
            ("GMT +0530", 5.5),
            ("ut + 3:30", 3.5),
            ("u.t. +1", 1.0),
            ("g.m.t. - 10", -10.0),
            ("TU+1", 1.0),
            ("Z-3", -3.0),
            ("UTC-3.5", -3.5),
            ("UTC+0545", 5.75),
            ("UTC", None),
            ("UTC-512", None),
            ("xUTC-5", None),
        ],
    )
    def test_clocks(self, text, hours):
        assert offset_in(text) == hours

    @pytest.mark.parametrize(
        "word", ["Greenwich", "GMT", "utc", "UT", "UT1", "Universal", "G.M.T.", "u.t.", "G", "UTC+0"]
    )
    def test_greenwich(self, word):
        assert phase_kinds_in(f"phase {word}") == phase_kinds_in(f"phase_{word}") == {PhaseKind.GREENWICH}

    @pytest.mark.parametrize(
        "word",
        ["local", "LST", "lmt", "zone", "standard time", "time meridian", "locale", "locales", "UTC-5"],
    )
    def test_local(self, word):
        assert phase_kinds_in(f"phase {word}") == {PhaseKind.LOCAL}

    def test_both_and_none(self):
        assert phase_kinds_in("local and Greenwich") == set(PhaseKind)
        assert phase_kinds_in("phase g") == phase_kinds_in("phase, G' of x") == set()
