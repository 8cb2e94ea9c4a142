"""Random shops in which random things happen: every plan is legal, and the state is what the facts that count say."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from random import Random

import pytest
from shops import write_shop

from shopday.journal.facts import Fact
from shopday.journal.state import fold
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result
from shopday.shop.faults import ShopdayError

pytestmark = pytest.mark.slow

DEEDS = 30
USUAL = ("start", "start", "finish", "finish", "pause", "start", "skip", "again", "arrived", "undo", "redo")
KINDS = (*USUAL, *USUAL, "ordered", "asked")


class Course:
    """One shop lived through at random, with what a person expects of undo and redo beside it."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.random = folder, Random(seed)
        self.now = write_shop(folder, seed, steps=12)
        self.left: list[Fact] = []
        self.gone: list[Fact] = []
        self.logged: set[str] = set()

    def live(self) -> None:
        for _ in range(DEEDS):
            plan = self.plan()
            kind = self.random.choice(KINDS)
            before = self.shop().state()
            try:
                self.logged |= {self.deed(kind, plan)}
            except ShopdayError:
                assert self.shop().state() == before
            assert self.shop().state() == fold(self.left)
            self.now += dt.timedelta(minutes=self.random.choice((0, 5, 20, 90, 300, 1000)))

    def shop(self) -> OpenShop:
        return OpenShop(self.folder, self.now)

    def plan(self) -> Plan:
        """Made at once, and judged."""
        shop = self.shop()
        built, result = next(filter(None, improved_plans(shop.folder, shop.state(), shop.minute(), 0)))
        assert verify_result(built.problem, result) == []
        plan = decode_plan(built, result)
        for row in plan.steps:
            self._is_sound(row, plan)
        return plan

    def _is_sound(self, row: PlannedStep, plan: Plan) -> None:
        assert row.start <= row.end <= row.complete
        assert all(a <= b for a, b in row.stretches)
        assert row.put_down <= (row.state is State.UNDER_WAY)
        assert row.skipped <= (row.state is State.DONE and row.start == row.end and row.waits == ())
        if row.state is State.PLANNED:
            assert row.start >= plan.now

    def deed(self, kind: str, plan: Plan) -> str:
        shop = self.shop()
        if kind == "undo":
            return self._undo(shop)
        if kind == "redo":
            return self._redo(shop)
        row = self._row(kind, plan)
        ago = dt.timedelta(minutes=self.random.choice((0, 0, 3, 45)))
        pass_no = self.random.choice((None, row.pass_no))
        days = {"expected": shop.now().date() + dt.timedelta(days=self.random.randrange(9))}
        fact = shop.log(
            kind,
            row.address,
            shop.now() - ago,
            plan,
            pass_no,
            anyway=self.random.random() < 0.5,
            details=days,
        )
        self.left.append(fact)
        self.gone.clear()
        return fact.kind

    def _row(self, kind: str, plan: Plan) -> PlannedStep:
        """Mostly one for which it makes sense."""
        absent = [row for row in plan.steps if row.kind != "work" and row.state is not State.DONE]
        begun = [row for row in plan.steps if row.state is State.UNDER_WAY]
        wanted = {
            "arrived": absent,
            "ordered": absent,
            "asked": absent,
            "finish": begun,
            "pause": begun,
            "start": plan.steps[:6],
        }.get(kind, ())
        return self.random.choice(wanted if wanted and self.random.random() < 0.8 else plan.steps)

    def _undo(self, shop: OpenShop) -> str:
        fact = shop.undo()
        assert fact == self.left.pop()
        self.gone.append(fact)
        return "undo"

    def _redo(self, shop: OpenShop) -> str:
        fact = shop.redo()
        assert fact == self.gone.pop()
        self.left.append(fact)
        return "redo"


@pytest.mark.parametrize("seed", range(12))
def test_after_random_facts_the_plan_keeps_every_rule_and_the_state_is_their_fold(
    tmp_path: Path, seed: int
) -> None:
    course = Course(tmp_path, seed)
    course.live()
    assert {"start", "finish"} <= course.logged


@pytest.mark.parametrize("seed", range(12, 16))
def test_undoing_and_redoing_everything_gives_the_same_plan(tmp_path: Path, seed: int) -> None:
    course = Course(tmp_path, seed)
    course.live()
    state, plan, count = course.shop().state(), course.plan(), len(course.left)
    for _ in range(count):
        course.shop().undo()
    assert course.shop().state() == fold([])
    for _ in range(count + len(course.gone)):
        course.shop().redo()
    assert count == 0 or course.shop().state() != fold([])
    for _ in course.gone:
        course.shop().undo()
    assert (course.shop().state(), course.plan()) == (state, plan)
