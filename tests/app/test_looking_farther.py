"""What looking farther finds comes at once, waits in one line, and is known still when only time has gone on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_reading import news, read, rows_text, until
from app_shop import NOW
from test_taking import opened, shuffled

from shopday.app import plan_answers
from shopday.app.plan_answers import LONGER_EFFORT
from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan
from shopday.planning.questions.optimality_text import plan_optimality
from shopday.planning.solving.search_memory import SearchMemory

Offers = Iterator[tuple[Plan, Plan | None] | None]


def sooner(plan: Plan, hours: int) -> Plan:
    """As if its last job were delivered so much sooner."""
    *others, last = sorted(plan.jobs, key=lambda row: (row.delivery or plan.now).timestamp())
    assert last.delivery is not None
    early = last._replace(delivery=last.delivery - dt.timedelta(hours=hours))
    jobs = {row.job: row for row in (*others, early)}
    return plan._replace(
        finish=plan.finish - 60 * hours * last.weight, jobs=tuple(jobs[row.job] for row in plan.jobs)
    )


def known_of(plan: Plan, bound: int) -> Plan:
    jobs = tuple(row._replace(floor=row.delivery) for row in plan.jobs)
    return plan._replace(late_bound=plan.late, short_bound=plan.short, finish_bound=bound, jobs=jobs)


class Searches:
    """Stands in for searching: looking farther finds two better plans, and then that there is none besides."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.efforts: list[float] = []
        monkeypatch.setattr(OpenShop, "offers", lambda _, *asked: self.offers(*asked))
        monkeypatch.setattr(plan_answers, "odds_of", lambda *_: ())
        monkeypatch.setattr(plan_answers, "prover_missing", lambda: "")
        monkeypatch.setattr(plan_answers, "SECONDS_BETWEEN_PLANS", 0)

    def offers(self, plan: Plan, effort: float, best: Plan | None) -> Offers:
        self.efforts.append(effort)
        if effort < LONGER_EFFORT:
            yield known_of(plan, 0), best
            return
        yield None
        yield known_of(plan, 0), sooner(plan, 20)
        yield known_of(plan, plan.finish * 9 // 10), sooner(plan, 30)


def asked(shop: Path, memory: SearchMemory, minutes: int = 0) -> list[PlannerAnswer]:
    open_shop = OpenShop(shop, NOW + dt.timedelta(minutes=minutes))
    return list(filter(None, planner_answers(open_shop, PlannerQuestion(5), memory)))


@pytest.fixture
def searches(shop: Path, monkeypatch: pytest.MonkeyPatch) -> Searches:
    OpenShop(shop, NOW).plan(0.01)
    return Searches(monkeypatch)


@pytest.mark.slow
def test_each_better_plan_comes_at_once_and_bounds_come_at_the_end(shop: Path, searches: Searches) -> None:
    found = asked(shop, SearchMemory())
    plans = [(a.dashboard.plan, a.offer) for a in found if a.dashboard is not None]
    assert searches.efforts == [1.0, LONGER_EFFORT]
    offers = [offer.plan.finish - plan.finish for plan, offer in plans if offer is not None]
    assert len(offers) == 2
    assert offers == sorted(offers, reverse=True)
    assert "at most" in plan_optimality(plans[-1][0])
    assert found[-1].last


@pytest.mark.slow
def test_as_time_passes_no_new_search_starts_and_no_stale_bound_is_claimed(
    shop: Path, searches: Searches
) -> None:
    memory = SearchMemory()
    before = [a.dashboard.plan for a in asked(shop, memory) if a.dashboard is not None][-1]
    searches.efforts.clear()
    first, *_, last = (a.dashboard.plan for a in asked(shop, memory, 5) if a.dashboard is not None)
    assert searches.efforts == [1.0]
    assert [row.floor for row in first.jobs] == [row.delivery for row in before.jobs]
    assert plan_optimality(first) == ""
    assert plan_optimality(last) != ""


@pytest.mark.slow
def test_a_logged_fact_clears_the_search_memory(shop: Path, searches: Searches) -> None:
    memory = SearchMemory()
    plan = [a.dashboard.plan for a in asked(shop, memory) if a.dashboard is not None][-1]
    under_way = next(row for row in plan.steps if row.state == "under way")
    OpenShop(shop, NOW).log("finish", under_way.address)
    searches.efforts.clear()
    first = next(a.dashboard.plan for a in asked(shop, memory, 5) if a.dashboard is not None)
    assert first.finish_bound is None
    assert not first.proven
    assert searches.efforts == [1.0, LONGER_EFFORT]


@pytest.mark.slow
async def test_an_offer_stands_in_a_line_of_its_own_and_leaves_news_alone(shop: Path) -> None:
    app, planner, plan = opened(shop)
    better = shuffled(plan)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        planner.answer(plan, offer=better)
        await pilot.pause()
        day = rows_text(app, "#day")
        app.session.tell("Kept: something else.")
        planner.answer(plan, offer=better)
        await pilot.pause()
        assert news(app) == "Kept: something else."
        assert rows_text(app, "#day") == day
        first = read(app, "#offer")
        assert first.startswith("x: use a better plan.")
        planner.answer(plan, offer=better._replace(plan=sooner(better.plan, 30)))
        await pilot.pause()
        assert read(app, "#offer") != first
        assert news(app) == "Kept: something else."
        await pilot.click("#offer")
        await until(pilot, lambda: not app.screen.query_one("#offer").display)
        assert news(app) == "Using the better plan."
