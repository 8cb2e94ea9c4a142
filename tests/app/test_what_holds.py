"""Jobs shows what dates hold, once they are known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from app_shop import NOW, app_on
from textual.content import Content
from textual.widgets import Static

from shopday.app.app import ShopdayApp
from shopday.app.clerk import answers, paced
from shopday.app.job_form import Draft
from shopday.app.job_told import told as in_sentences
from shopday.app.jobs_rows import head_line, jobs_rows
from shopday.app.planner import Answer, Ask
from shopday.app.quote_words import told
from shopday.app.rows import Row, Rows
from shopday.planning.chances import percent
from shopday.planning.goodness import of_job, of_plan
from shopday.planning.holding import doubt
from shopday.planning.odds import Odds, odds_of
from shopday.planning.workshop import Workshop


@pytest.fixture
def workshop(shop: Path) -> Workshop:
    return Workshop(shop, NOW)


@pytest.fixture
def few(workshop: Workshop) -> Odds:
    *_, odds = odds_of(workshop, workshop.plan(0), 10)
    return odds


def drawn(workshop: Workshop, odds: Odds | None, width: int) -> dict[str, Content]:
    rows: list[Row] = jobs_rows(workshop.plan(0), workshop.folder.jobs, NOW.date(), odds)
    return {row.key: row.draw(width) for row in rows}


@pytest.mark.parametrize("width", [78, 118])
def test_a_row_tells_the_chance_under_its_heading(workshop: Workshop, few: Odds, width: int) -> None:
    at = head_line(width).index("holds")
    promised = [row for row in few.jobs if row.promise is not None]
    rows = drawn(workshop, few, width)
    assert promised
    for row in promised:
        assert row.promise is not None
        assert rows[row.job].plain[at:].startswith(percent(row.promise))
        assert rows[row.job].cell_length <= width


def test_there_is_room_for_the_date_that_holds_on_a_wide_screen_alone(workshop: Workshop, few: Odds) -> None:
    assert "80 % sure" in head_line(118)
    assert "80 % sure" not in head_line(78)
    at = head_line(118).index("80 %")
    for row in few.jobs:
        assert row.p80 is not None
        assert drawn(workshop, few, 118)[row.job].plain[at:].startswith(f"{row.p80:%a} {row.p80.day} ")


def test_while_nothing_is_known_nothing_is_claimed(workshop: Workshop) -> None:
    assert all("%" not in content.plain for content in drawn(workshop, None, 118).values())


def test_the_planner_tells_rough_odds_after_its_plans_and_then_better_ones(workshop: Workshop) -> None:
    found = []
    for answer in answers(workshop, Ask(7, effort=0.001)):
        found.append(answer)
        if answer.odds is not None and len([a for a in found if a.odds]) == 2:
            break
    kinds = ["plan" if a.glance else "odds" if a.odds else "end" for a in found]
    assert kinds[0] == "plan"
    assert kinds[-2:] == ["odds", "odds"]
    assert {a.serial for a in found} == {7}
    first, second = (a.odds for a in found[-2:])
    assert first is not None
    assert second is not None
    assert first.draws < second.draws < first.of


async def test_jobs_shows_the_odds_as_they_come(workshop: Workshop, few: Odds) -> None:
    app = app_on(workshop)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        assert "%" not in _shown(app)
        app.plans.answered(Answer(app.plans._plan_serial, odds=few))
        await pilot.pause()
        assert all(percent(row.promise) in _shown(app) for row in few.jobs if row.promise is not None)
        app.plans.anew("Something changed")
        assert app.desk.odds is None


def test_a_job_is_told_in_sentences(workshop: Workshop, few: Odds) -> None:
    """The dates that hold, the steps the doubt comes from, how early it could be; and how good the plan is."""
    plan = workshop.plan(0.01)
    for row in few.jobs:
        job = plan.job(row.job)
        assert job is not None
        assert row.p95 is not None
        said = in_sentences(job, plan, few, NOW).plain
        assert said.startswith(f"{job.title}. What holds: ")
        assert f"{row.p95:%a} {row.p95.day} {row.p95:%b}" in said
        assert f" with 95 %. {doubt(row)}" in said
        assert f" {of_job(job, NOW)}\n{of_plan(plan)}" in said
        assert "is being worked out" in in_sentences(job, plan, None, NOW).plain
    assert of_plan(plan) != ""


def test_of_a_job_that_is_not_planned_only_the_plan_is_told(workshop: Workshop, few: Odds) -> None:
    plan = workshop.plan(0.01)
    assert in_sentences(None, plan, few, NOW).plain == of_plan(plan)


async def test_jobs_tells_of_the_job_under_the_cursor(workshop: Workshop, few: Odds) -> None:
    app = app_on(workshop)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        app.plans.answered(Answer(app.plans._plan_serial, odds=few))
        for _ in few.jobs:
            await pilot.pause()
            row = app.screen.query_one("#jobs", Rows).current
            assert row is not None
            assert app.desk.plan is not None
            expected = in_sentences(app.desk.plan.job(row.subject), app.desk.plan, few, app.desk.now)
            assert str(app.screen.query_one("#job-told", Static).content) == expected.plain
            await pilot.press("down")


def test_what_is_known_of_a_plan_comes_even_where_the_plan_stays_the_same(workshop: Workshop) -> None:
    plan = replace(workshop.plan(0), late_bound=None, finish_bound=None)
    known = replace(plan, late_bound=0, finish_bound=0)
    assert list(paced([plan, plan, known, known])) == [plan, known]


def test_a_quote_is_told_at_once_and_what_holds_afterwards(workshop: Workshop) -> None:
    job = next(iter(workshop.folder.jobs.values()))
    found = list(answers(workshop, Ask(3, effort=0.001, job_id="asked", job=job)))
    assert found[0].quote is not None
    assert found[0].odds is None
    last = found[-1]
    assert last.last
    assert last.quote is not None
    assert last.odds is not None
    assert last.odds.done
    row = last.odds.job("asked")
    assert row is not None
    assert row.p80 is not None
    draft = Draft("asked", job, ())
    said = told(last.quote, draft, NOW, last.odds).plain
    assert f"{row.p80:%a} {row.p80.day} {row.p80:%b}" in said
    assert "with 80 %" in said
    assert "with 80 %" not in told(last.quote, draft, NOW).plain
    assert doubt(row) in said
    planned = last.quote.plan.job("asked")
    assert planned is not None
    assert of_job(planned, NOW) in said
    assert all(not answer.last for answer in found[:-1])


def _shown(app: ShopdayApp) -> str:
    rows = app.screen.query_one("#jobs", Rows)
    return "\n".join(row.draw(98).plain for row in rows.rows)
