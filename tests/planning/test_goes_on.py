"""A plan that is followed: no job comes later for the sake of others, unless a promise slips."""

from __future__ import annotations

import datetime as dt
from collections import deque
from dataclasses import replace
from pathlib import Path

from small_shops import later, workshop

from shopday.planning.asking import answers
from shopday.planning.following import harmless
from shopday.planning.plan import Plan
from shopday.planning.read import read
from shopday.planning.workshop import Workshop
from shopday.schedule.verify import verify

STEP = '[[steps]]\nid = "{0}"\nhands_on = "{1}"\n'


def gone_on(shop: Workshop, before: Plan) -> Plan:
    """The last of it, checked: its order is built again, and judged."""
    plan = deque(shop.goes_on(before, 1.0), maxlen=1).pop()
    built, result = next(answers(shop.folder, shop.state(), shop.minute(), 0, near=plan))
    assert verify(built.problem, result.schedule) == []
    assert read(built, result).steps == plan.steps
    return plan


def hours(plan: Plan) -> dict[str, float]:
    """Hours from now to each delivery."""
    deliveries = {row.job: row.delivery for row in plan.jobs if row.delivery is not None}
    return {job: (delivery - plan.now) / dt.timedelta(hours=1) for job, delivery in deliveries.items()}


def test_a_better_order_that_brings_a_job_later_is_passed_over(tmp_path: Path) -> None:
    """The short job first is best, but the long one was told for 11:00."""
    shop = workshop(tmp_path, long=STEP.format("saw", "3h"), short=STEP.format("saw", "1h"))
    best = shop.plan()
    assert hours(best) == {"long": 4.0, "short": 1.0}
    told = replace(best, order=tuple(reversed(best.order)))
    followed = gone_on(shop, told)
    assert hours(followed) == {"long": 3.0, "short": 4.0}
    assert (followed.proven, followed.finish_bound) == (False, best.finish)


def test_a_plan_that_stays_is_proven_once_nothing_can_be_better(tmp_path: Path) -> None:
    shop = workshop(tmp_path, long=STEP.format("saw", "3h"), short=STEP.format("saw", "1h"))
    best = shop.plan()
    told = replace(best, late_bound=None, finish_bound=None)
    assert best.proven
    assert not told.proven
    assert next(harmless(told, [best], slips=False)).proven


def test_a_better_order_that_brings_no_job_later_is_taken(tmp_path: Path) -> None:
    """What dries for a day goes first: the last step comes 3 h sooner, and nothing later."""
    legs = STEP.format("oil", "1h") + 'waits = [{ name = "dries", takes = "24h" }]\n'
    parts = "".join(
        f'[[parts]]\nid = "{name}"\n{text.replace("[[steps]]", "[[parts.steps]]")}'
        for name, text in (("top", STEP.format("saw", "3h")), ("legs", legs))
    )
    shop = workshop(tmp_path, table=parts + STEP.format("fit", "1h"))
    best = shop.plan()
    assert hours(best) == {"table": 26.0}
    keys = sorted(best.order, key=lambda key: key[0] != "table/top/saw")
    assert hours(shop.plan(0, near=replace(best, order=tuple(keys)))) == {"table": 30.0}
    assert hours(gone_on(shop, replace(best, order=tuple(keys)))) == {"table": 26.0}


def test_where_a_promise_slips_another_job_may_wait(tmp_path: Path) -> None:
    """Planned 8-9, 9-10 and 10-17 with the break, promised for Monday. The first takes until 10:00: only at once
    can the long one still be ready on Monday."""
    long = "promise = 2026-03-02\n" + STEP.format("saw", "6h")
    shop = workshop(tmp_path, a=STEP.format("saw", "1h"), b=STEP.format("saw", "1h"), long=long)
    before = shop.plan()
    assert hours(before) == {"a": 1.0, "b": 2.0, "long": 9.0}
    at_ten = later(shop, "2026-03-02T10:00")
    at_ten.log("start", "a/saw", at_ten.zone.moment(at_ten.minute() - 120))
    at_ten.log("finish", "a/saw")
    after = gone_on(at_ten, before)
    assert after.late == 0
    assert hours(after)["long"] == 7.0
    assert hours(after)["b"] > 20


def test_the_first_plan_keeps_the_order(tmp_path: Path) -> None:
    shop = workshop(tmp_path, long=STEP.format("saw", "3h"), short=STEP.format("saw", "1h"))
    best = shop.plan()
    told = replace(best, order=tuple(reversed(best.order)))
    first, *_ = shop.goes_on(told, 1.0)
    assert [step.job for step in first.steps] == ["long", "short"]
    assert list(shop.goes_on(told, 0)) == [first]
