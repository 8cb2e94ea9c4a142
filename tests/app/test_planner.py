"""The planner's process: the newest question is always answered, whatever it was at."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from queue import Queue

import pytest
from app_shop import NOW
from processes import LONGEST, children, is_at_work, until

from shopday.app.planner_client import ProcessPlanner
from shopday.app.protocol import FIRST, PlannerAnswer, PlannerQuestion
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import State
from shopday.shop.models import Job, Step

pytestmark = pytest.mark.slow

LOGS = int(os.environ.get("SHOPDAY_LOGS", "30"))
"""Facts logged one after the other while plans are worked out. A long run by hand: SHOPDAY_LOGS=500, with --timeout 0."""


@pytest.fixture
def planner(shop: Path) -> Iterator[ProcessPlanner]:
    started = ProcessPlanner(shop, NOW)
    yield started
    started.close()


def first_of(answers: Queue[PlannerAnswer | None], serial: int, count: int = 1) -> list[PlannerAnswer]:
    """The first answers to a question."""
    found: list[PlannerAnswer] = []
    while len(found) < count:
        answer = answers.get(timeout=LONGEST)
        assert answer is not None
        if answer.serial == serial:
            found.append(answer)
    return found


def test_a_newer_question_is_answered_first(planner: ProcessPlanner) -> None:
    answers: Queue[PlannerAnswer | None] = Queue()
    planner.listen(answers.put)
    for serial in range(1, 8):
        planner.ask(PlannerQuestion(serial, effort=1.0 if serial < 7 else 0.02))
    (found,) = first_of(answers, 7)
    assert found.dashboard is not None
    assert not found.trouble


def test_a_quote_comes_at_once_and_again_after_a_longer_search(planner: ProcessPlanner) -> None:
    answers: Queue[PlannerAnswer | None] = Queue()
    planner.listen(answers.put)
    planner.ask(PlannerQuestion(1, effort=1.0))
    job = Job(title="Stool", steps=(Step(id="make", hands_on=60),))
    planner.ask(PlannerQuestion(2, effort=0.02, job_id="stool", job=job))
    found = first_of(answers, 2, 3)
    assert [answer.odds is None for answer in found] == [True, True, False]
    assert all(answer.quote is not None and answer.quote.earliest is not None for answer in found)


def test_a_dead_process_is_noticed_and_its_successor_answers(planner: ProcessPlanner) -> None:
    answers: Queue[PlannerAnswer | None] = Queue()
    planner.listen(answers.put)
    first = answers.get(timeout=LONGEST)
    assert first is not None
    assert first.serial == FIRST.serial
    assert planner.worker is not None
    planner.worker.process.kill()
    while answers.get(timeout=LONGEST) is not None:
        pass  # what it still had said
    planner.start_again()
    planner.ask(PlannerQuestion(2, effort=0.01))
    assert first_of(answers, 2)[0].dashboard is not None


def test_a_shop_that_cannot_be_read_is_an_answer(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text("name = ")
    planner = ProcessPlanner(tmp_path, NOW)
    answers: Queue[PlannerAnswer | None] = Queue()
    planner.listen(answers.put)
    planner.ask(PlannerQuestion(1))
    answer = answers.get(timeout=LONGEST)
    assert answer is not None
    assert "shop.toml" in answer.trouble
    planner.close()


def test_no_process_is_left_over_after_many_facts(planner: ProcessPlanner, shop: Path) -> None:
    """Every fact drops a search, most of them with a second one in a process of its own."""
    before = children(ended=True)
    answers: Queue[PlannerAnswer | None] = Queue()
    planner.listen(answers.put)
    assert planner.worker is not None
    worker = planner.worker.process.pid
    open_shop = OpenShop(shop, NOW)
    step = next(row for row in open_shop.plan(0).steps if row.state is State.UNDER_WAY)
    for n in range(LOGS):
        open_shop.write(("pause", "start")[n % 2], *step.key, open_shop.minute())
        planner.ask(PlannerQuestion(n + 2))
        (found,) = first_of(answers, n + 2)
        assert found.dashboard is not None
        if n % 3 == 0:
            until(lambda: bool(children(worker)))  # the second search
    assert children(worker, ended=True) == []
    assert len(children(worker)) <= 1
    for n in range(LOGS):
        planner.start_again()
        if n % 3 == 0:
            planner.ask(PlannerQuestion(LOGS + n + 2, effort=0))
            first_of(answers, LOGS + n + 2)
    planner.close()
    assert children(ended=True) == before
    assert not is_at_work(worker)


def test_the_second_search_ends_with_a_planner_that_is_killed(planner: ProcessPlanner) -> None:
    assert planner.worker is not None
    worker = planner.worker.process
    until(lambda: bool(children(worker.pid)))
    (second,) = children(worker.pid)
    worker.kill()
    until(lambda: not is_at_work(second))
