"""The guide's page of algorithms: its numbers are the program's, no flow, factor or light is left out."""

import numpy as np
import pytest

from harmonics.records import observed, response, scenarios
from harmonics.stations import currents, events
from harmonics.sums import extremes
from tests.documents import names, section, table
from windows.conditions import bait, cases, flow, lead, scoring
from windows.forecast import edges, planning, ranking, sessions
from windows.guide import page
from windows.log import regression, robust, shares, verdict
from windows.shoreline.spots import Factor, LightPreference, Points, SpeedRange

TEXT = " ".join(page("algorithms").text.split())
KNOT = 1852 / 3600
LAGS = ", ".join(f"{first} to {last}" for first, last in response.LAGS[:-1])
COUNTS = {10.0: "ten", 20: "twenty", 3.0: "three", 2.0: "two"}


@pytest.mark.parametrize(
    "said",
    [
        f"sampled every {COUNTS[extremes.GRID_STEP / 60]} minutes",
        f"the {COUNTS[extremes.SAMPLES]} nearest samples",
        f"less than {events.STAND_RANGE * 1000:g} mm are a stand",
        f"less than {currents.LEAST_CHANGE:g} m/s left out",
        f"0 at {flow.LEAST_SHARE:g} of the typical peak rate to 1 at {flow.FULL_SHARE:.2f}",
        f"never from below {flow.LEAST_FALL * 360000:.1f} cm an hour",
        f"flow {Points().flow:g}, light {Points().light:g}, moon {Points().moon:g}",
        f"{scoring.MINOR_FACTOR:g} within half an hour",
        f"a stretch of {planning.LEAST_WINDOW / 60:g} minutes or more",
        f"a flow factor of at least {edges.LEAST_FLOW_FACTOR:g}",
        f"at most {sessions.AHEAD_OF_WINDOW / 60:g} minutes ahead",
        f"the mean over {COUNTS[cases.COUNT]} shifts",
        f"deviation of {cases.KNOWN_TURN / 60:g} minutes, {cases.ASSUMED_TURN / 60:g} where the turn",
        f"less than {sessions.LEVEL_POINTS:g} points, or less than half of the joint",
        f"the last {COUNTS[observed.NOW_HOURS]} hours",
        f"span {observed.DAYS_TO_FIT} days or more, else {observed.DEFAULT_DECAY_HOURS:g} hours",
        f"the last {LAGS} and {response.LAGS[-1][0]} to {response.LAGS[-1][1]} hours",
        f"within {scenarios.SEASON_DAYS:g} days of the season",
        f"up to {scenarios.MOST} cases, {scenarios.FEWEST} at least",
        f"up to {COUNTS[bait.REACH / 3600]} hours either side of low water",
        f"at {lead.BOTTOM_SHARE:g} U near the bottom",
        f"is {lead.MARGIN:g} times that pull",
        f"{verdict.PERMUTATIONS} times: below {verdict.LEVEL_FOR * 100:g} %",
        f"below {verdict.LEVEL_AGAINST * 100:g} % on the other",
        f"fewer than {verdict.LEAST_TRIPS} comparable trips",
        f"catches {regression.STEP:g} points apart",
        f"from {robust.LEAST_NOTES} notes on",
        f"from {shares.LEAST_TRIPS} trips on",
        f"by {shares.PRIOR_TRIPS:g} trips more",
    ],
)
def test_numbers_are_those_of_the_program(said):
    assert said in TEXT


def test_ranks_are_told_apart_by_half_of_the_deviation():
    assert ranking.LEVEL_DEVIATIONS == 0.5


def test_speeds_that_fish_well_are_those_of_the_program():
    speeds = SpeedRange()
    corners = (speeds.nothing_below, speeds.full_from, speeds.full_to, speeds.nothing_above)
    said = "0 at {:.1f} kn, 1 at {:.1f}, 1 at {:.1f} and 0 at {:.1f}".format(*(x / KNOT for x in corners))
    assert said in TEXT


def test_every_light_is_told_as_it_counts():
    rows = [row for row in table(section(page("algorithms").text, "Score")) if "light" in row[0]]
    told = {names(row[0])[0]: row[1].replace("+", "") for row in rows}
    assert sorted(told) == sorted(item.value for item in LightPreference)
    corners = {"low": (-12, -6, 6, 20), "day": (-6, 6), "night": (-12, 6), "any": ()}
    for kind, altitudes in corners.items():
        for altitude in altitudes:
            (factor,) = scoring.light_factor(np.array([float(altitude)]), LightPreference(kind))
            assert f"{factor:g}" in told[kind] and f"{altitude}" in told[kind]


def test_every_factor_and_every_way_to_know_the_flow_is_told():
    rows = [row[0] for row in table(section(page("algorithms").text, "Score"))]
    assert all(any(row.startswith(factor.value) for row in rows) for factor in Factor)
    told = section(page("algorithms").text, "Flow at a spot").lower()
    assert all(f"**{kind.value}**" in told for kind in flow.FlowKind)
