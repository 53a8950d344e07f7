"""The page of days out as text: it holds the plans, is closed to scripts, and escapes what a file says."""

import re
from datetime import date

import pytest

from tests.cli.runs import REPOSITORY
from tests.windows.outing.planned import plans_of
from tests.windows.outing.shores import coast, landing, wishes
from windows.render.page.outing import plan_page
from windows.render.text.plan import plan_text
from windows.render.words import cautions
from windows.shoreline.shore import read_shore

FIRST = date(2026, 8, 10)


@pytest.fixture(scope="module")
def plans():
    return plans_of(read_shore(REPOSITORY / "demo_stations" / "korimako_reach.toml"), FIRST, 14)


def words_of(html: str) -> str:
    """The text of a page, without its tags and its style."""
    bare = re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", bare).replace("&#39;", "'").split())


def test_it_says_what_the_screen_says(plans):
    shown = words_of(plan_page(plans, "shores/korimako_reach.toml"))
    screen = " ".join(plan_text(plans, 200).split())
    assert "from korimako_reach.toml" in shown
    for item in plans.lists:
        best = item.ranking[0]
        assert f"{best.worth:.0f} point-hours" in shown
        for day in item.days:
            assert day.plan is None or f"{day.plan.worth:.0f}" in shown
    for said in re.findall(r"(?:In eight cases|The same hours|Back at|Dark|Next best)[^.]*", screen):
        assert said in shown
    assert all(caution in shown for caution in (*cautions.FULL, cautions.SHORT, cautions.INVENTED))


def test_it_runs_nothing_and_asks_for_nothing(plans):
    text = plan_page(plans)
    assert "<script" not in text
    assert "default-src 'none'" in text.replace("&#39;", "'")
    assert "script-src 'none'" in text.replace("&#39;", "'")
    assert not re.search(r"(?:src|href)=\"(?!#)", text)


def test_names_are_words_whatever_they_hold(tmp_path):
    path = tmp_path / "shore.toml"
    hostile = "<b onclick=x>&\u202e"
    text = coast(landing("park"), wishes(longest="9h"), spot_at=(45.0, 0.0))
    path.write_text(text.replace('name = "Park"', f'name = "{hostile}"'), encoding="utf-8")
    made = plan_page(plans_of(read_shore(path), FIRST, 2))
    assert "<b onclick" not in made
    assert "&lt;b onclick=x&gt;&amp;" in made
    assert "\u202e" not in made


def test_no_plan_is_an_answer(tmp_path):
    path = tmp_path / "shore.toml"
    path.write_text(coast(landing("park"), wishes(keep=2400)), encoding="utf-8")
    shown = words_of(plan_page(plans_of(read_shore(path), FIRST, 2)))
    assert "No day out is worth going in these days" in shown
    assert "Days without a plan" in shown
    assert cautions.SHORT in shown
