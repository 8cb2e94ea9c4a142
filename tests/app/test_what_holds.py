"""Jobs shows chances and safe dates once they are known, and its marks and order follow them."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text
from app_shop import NOW, app_on
from local_planner import LocalPlanner
from textual.content import Content
from textual.widgets import Static

from shopday.__main__ import main
from shopday.app.app import ShopdayApp
from shopday.app.forms.new_job_form import NewJobDraft
from shopday.app.plan_answers import paced, plans_differ
from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.app.rows.date_to_say import date_to_say
from shopday.app.rows.job_text import job_sentences as in_sentences
from shopday.app.rows.jobs_rows import Columns, head_line, jobs_rows
from shopday.app.rows.quote_text import quote_sentences
from shopday.app.widgets.row_list import Row, RowList
from shopday.planning.odds.delivery_odds import JobOdds, Odds, odds_of
from shopday.planning.odds.distributions import percent
from shopday.planning.odds.odds_text import odds_causes, odds_dates
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.optimality_text import job_optimality, settled_optimality
from shopday.planning.solving.search_memory import SearchMemory
from shopday.text.times import date_text

pytestmark = pytest.mark.slow


@pytest.fixture
def open_shop(shop: Path) -> OpenShop:
    return OpenShop(shop, NOW)


@pytest.fixture
def few(open_shop: OpenShop) -> Odds:
    """Of ten draws, all that were asked for."""
    *_, odds = filter(None, odds_of(open_shop, open_shop.plan(0), 10))
    return odds


def rough(odds: Odds) -> Odds:
    """The same, when there are more to come."""
    return replace(odds, of=2 * odds.draws)


def drawn(open_shop: OpenShop, odds: Odds | None, width: int) -> dict[str, Content]:
    rows: list[Row] = jobs_rows(open_shop.plan(0), open_shop.folder.jobs, NOW.date(), odds)
    return {row.key: row.draw(width) for row in rows}


@pytest.mark.parametrize("width", [78, 118])
def test_a_row_tells_the_chance_under_its_heading(open_shop: OpenShop, few: Odds, width: int) -> None:
    at = head_line(Columns(width)).index("chance")
    promised = [row for row in few.jobs if row.promise is not None]
    rows = drawn(open_shop, few, width)
    assert promised
    for row in promised:
        assert row.promise is not None
        assert rows[row.job].plain[at:].startswith(percent(row.promise))
        assert rows[row.job].cell_length <= width


def test_the_safe_date_has_room_on_wide_screens_only(open_shop: OpenShop, few: Odds) -> None:
    assert "80 % sure" in head_line(Columns(118))
    assert "80 % sure" not in head_line(Columns(78))
    at = head_line(Columns(118)).index("80 %")
    for row in few.jobs:
        assert row.p80 is not None
        assert drawn(open_shop, few, 118)[row.job].plain[at:].startswith(f"{row.p80:%a} {row.p80.day} ")


def test_no_odds_are_claimed_before_they_are_known(open_shop: OpenShop) -> None:
    assert all("%" not in content.plain for content in drawn(open_shop, None, 118).values())


def test_the_planner_sends_rough_odds_after_its_plans_and_then_better_ones(open_shop: OpenShop) -> None:
    found = []
    for answer in filter(None, planner_answers(open_shop, PlannerQuestion(7, effort=0.001), SearchMemory())):
        found.append(answer)
        if answer.odds is not None and len([a for a in found if a.odds]) == 2:
            break
    kinds = ["plan" if a.dashboard else "odds" if a.odds else "end" for a in found]
    assert kinds[0] == "plan"
    assert kinds[-2:] == ["odds", "odds"]
    assert {a.serial for a in found} == {7}
    first, second = (a.odds for a in found[-2:])
    assert first is not None
    assert second is not None
    assert first.draws < second.draws < first.of


async def test_jobs_shows_the_odds_as_they_come(open_shop: OpenShop, few: Odds) -> None:
    app = app_on(open_shop)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        assert "%" not in _shown(app)
        app.session.plan_updates.answered(
            PlannerAnswer(app.session.plan_updates._plan_serial, odds=rough(few))
        )
        await pilot.pause()
        assert read(app, "#jobs-head").split()[-4:] == ["so", "far", "in", "hand"]
        assert ". So far: Safe date" in read(app, "#job-told")
        app.session.plan_updates.answered(PlannerAnswer(app.session.plan_updates._plan_serial, odds=few))
        await pilot.pause()
        assert all(percent(row.promise) in _shown(app) for row in few.jobs if row.promise is not None)
        assert read(app, "#jobs-head").split()[-3:] == ["chance", "in", "hand"]
        assert "So far" not in read(app, "#job-told")
        app.session.plan_updates.replan("Something changed")
        assert app.session.state.odds is None


CHANCES = (0.8, 0.0, 0.79, 1.0, 0.5, 0.49)
MARKED = [("!", 0.0), ("!", 0.49), ("~", 0.5), ("~", 0.79), ("▪", 0.8), ("▪", 1.0)]


async def test_marks_and_order_follow_the_chance_when_all_draws_are_in(
    open_shop: OpenShop, few: Odds
) -> None:
    """Below 50 % `!`, below 80 % `~`; until then the days in hand decide."""
    given = tuple(replace(row, promise=x) for row, x in zip(few.jobs, CHANCES, strict=True))
    odds, titles = replace(few, jobs=given), {row.promise: row.title for row in given}
    app = app_on(open_shop)
    async with app.run_test(size=(100, 30)) as pilot:
        await press_each(pilot, "2")
        by_days = [line[:12] for line in rows_text(app, "#jobs").splitlines()]
        app.session.plan_updates.answered(
            PlannerAnswer(app.session.plan_updates._plan_serial, odds=rough(odds))
        )
        await pilot.pause()
        assert [line[:12] for line in rows_text(app, "#jobs").splitlines()] == by_days
        app.session.plan_updates.answered(PlannerAnswer(app.session.plan_updates._plan_serial, odds=odds))
        await pilot.pause()
        lines = [line.strip() for line in rows_text(app, "#jobs").splitlines()]
        assert len(lines) == len(MARKED)
        for line, (mark, chance) in zip(lines, MARKED, strict=True):
            assert line.startswith(f"{mark} {titles[chance]}")


DESK = """
promise = 2026-12-04
[[steps]]
id = "hinges"
arrives = { what = "hinges", on = 2026-12-03 }
[[steps]]
id = "make"
hands_on = "5h"
"""
STOOL = """
promise = 2026-12-04
[[steps]]
id = "turn"
hands_on = "6h"
another_pass = 0.3
"""


async def test_app_odds_and_quote_tell_the_same_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of a job that is asked for and then taken on; its file comes before the other's."""
    (tmp_path / "jobs").mkdir()
    hours = "".join(f'{day} = ["08:00-17:00"]\n' for day in ("wednesday", "thursday", "friday", "monday"))
    (tmp_path / "shop.toml").write_text(f'name = "x"\ntimezone = "America/Denver"\n[hours]\n{hours}')
    (tmp_path / "jobs" / "stool.toml").write_text(STOOL)
    asked = tmp_path / "desk.toml"
    asked.write_text(DESK)

    def told(*words: str) -> dict[str, object]:
        main(["--shop", str(tmp_path), "--now", f"{NOW:%Y-%m-%dT%H:%M}", "--json", *words])
        answer = json.loads(capsys.readouterr().out)
        return dict(answer["odds"] if "odds" in answer else answer["jobs"][0])

    quoted = told("quote", str(asked))
    asked.rename(tmp_path / "jobs" / "desk.toml")
    assert {"job": "desk", **quoted} == told("odds", "desk")
    open_shop = OpenShop(tmp_path, NOW)
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0.1))
    async with app.run_test(size=(100, 30)) as pilot:
        await press_each(pilot, "2")
        assert app.session.state.odds is not None
        row = app.session.state.odds.job("desk")
        assert row is not None
        assert row.p80 is not None
        assert (row.p80.isoformat(), row.promise) == (quoted["p80"], quoted["promise"])
        assert percent(row.promise or 0) in rows_text(app, "#jobs")


@pytest.mark.parametrize(
    ("p80", "p95", "said"),
    [
        (9, 10, "Safe dates: Wed 9 Dec (80 %), Thu 10 Dec (95 %)."),
        (9, 9, "Safe date: Wed 9 Dec (95 %)."),
        (9, None, "Safe date: Wed 9 Dec (80 %)."),
        (None, None, "No date can be given."),
    ],
)
def test_dates_that_are_the_same_are_said_once(p80: int | None, p95: int | None, said: str) -> None:
    at = {None: None, 9: NOW.replace(day=9), 10: NOW.replace(day=10)}
    odds = JobOdds("a", "A", NOW, at[p80], at[p95], None)
    assert odds_dates(odds, lambda date: date_text(date, NOW.date())) == said


def test_a_job_is_told_in_sentences(open_shop: OpenShop, few: Odds) -> None:
    """Its safe dates, the steps that make them uncertain, how early it could be; and how good the plan is."""
    plan = open_shop.plan(0.01, bounded=True)
    for row in few.jobs:
        job = plan.job(row.job)
        assert job is not None
        assert row.p95 is not None
        said = in_sentences(job, plan, few, NOW, 1000).plain
        assert said.startswith(f"{job.title}. Safe date")
        assert f"{row.p95:%a} {row.p95.day} {row.p95:%b}" in said
        assert f" (95 %). {odds_causes(row)}" in said
        assert f" {job_optimality(job, NOW)}\n{settled_optimality(plan)}" in said
        assert "Safe dates are being worked out." in in_sentences(job, plan, None, NOW, 1000).plain
    assert settled_optimality(plan) == "No plan is less late."


def test_for_an_unplanned_job_only_the_plan_is_described(open_shop: OpenShop, few: Odds) -> None:
    plan = open_shop.plan(0.01)
    assert in_sentences(None, plan, few, NOW, 1000).plain == settled_optimality(plan)


async def test_jobs_describes_the_job_under_the_cursor(open_shop: OpenShop, few: Odds) -> None:
    app = app_on(open_shop)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        app.session.plan_updates.answered(PlannerAnswer(app.session.plan_updates._plan_serial, odds=few))
        for _ in few.jobs:
            await pilot.pause()
            row = app.screen.query_one("#jobs", RowList).current
            assert row is not None
            assert app.session.state.plan is not None
            expected = in_sentences(
                app.session.state.plan.job(row.subject),
                app.session.state.plan,
                few,
                app.session.state.now,
                77,
            )
            assert str(app.screen.query_one("#job-told", Static).content) == expected.plain
            await pilot.press("down")


def test_new_bounds_are_sent_even_if_the_plan_stays_the_same(open_shop: OpenShop) -> None:
    plan = open_shop.plan(0)._replace(late_bound=None, finish_bound=None)
    known = plan._replace(late_bound=0, finish_bound=0)
    assert list(paced([plan, plan, known, known], plans_differ)) == [plan, known]


def test_a_quote_is_shown_at_once_and_its_odds_afterwards(open_shop: OpenShop) -> None:
    job = next(iter(open_shop.folder.jobs.values()))
    found = list(
        filter(
            None,
            planner_answers(
                open_shop, PlannerQuestion(3, effort=0.001, job_id="asked", job=job), SearchMemory()
            ),
        )
    )
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
    draft = NewJobDraft("asked", job, ())
    said = quote_sentences(last.quote, draft, NOW, 80, last.odds).plain
    assert f"{row.p80:%a} {row.p80.day} {row.p80:%b}" in said
    assert "Safe date" in said
    largest = date_to_say(last, job.promise, NOW.date(), 78, 3).plain
    assert "The date to say\n" in largest
    assert row.p95 is not None
    sure = 95 if row.p95.date() == row.p80.date() else 80
    assert f"{row.p80:%a} {row.p80.day} {row.p80:%b} holds with {sure} %." in largest
    assert "▀" in largest
    assert "is being worked out" in date_to_say(found[0], job.promise, NOW.date(), 78, 3).plain
    assert "Safe date" not in quote_sentences(last.quote, draft, NOW, 80).plain
    assert "So far: Safe date" in quote_sentences(last.quote, draft, NOW, 80, rough(last.odds)).plain
    assert odds_causes(row) in said
    planned = last.quote.plan.job("asked")
    assert planned is not None
    assert job_optimality(planned, NOW) in said
    assert all(not answer.last for answer in found[:-1])


def _shown(app: ShopdayApp) -> str:
    rows = app.screen.query_one("#jobs", RowList)
    return "\n".join(row.draw(98).plain for row in rows.rows)
