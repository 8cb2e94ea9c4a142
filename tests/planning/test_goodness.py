"""What is said of how good a plan is: proven, at most so much worse, or nothing where nothing is known."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import open_shop, planned

from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan
from shopday.planning.questions.optimality_text import job_optimality, most_to_gain, plan_optimality

SAW = '[[steps]]\nid = "saw"\nhands_on = "{0}"\n'


@pytest.fixture
def shop(tmp_path: Path) -> OpenShop:
    """One maker, 3 h and 1 h of work: the short job first, at 9:00, the long one at 12:00."""
    return open_shop(tmp_path, long=SAW.format("3h"), short=SAW.format("1h"))


@pytest.fixture
def plan(shop: OpenShop) -> Plan:
    return planned(shop)


def test_a_proven_plan_is_called_the_best(plan: Plan) -> None:
    assert plan.finish == 60 + 240  # the shortest first is best on one machine (Smith 1956)
    assert plan.proven
    assert (plan.late_bound, plan.finish_bound) == (0, 300)
    assert plan_optimality(plan) == "This is the best plan there is."


def test_a_quick_plan_claims_no_bounds(shop: OpenShop) -> None:
    quick = shop.plan(0)._replace(late_bound=None, finish_bound=None)
    assert plan_optimality(quick) == ""


@pytest.mark.slow
def test_bounds_of_an_unsearched_plan_are_not_told(tmp_path: Path) -> None:
    """Four jobs that share no machine alone: a first plan of them is not proven."""
    bench = '[[stations]]\nid = "bench"\n'
    glue = '[[steps]]\nid = "glue"\nhands_on = "{0}"\nstations = ["bench"]\nwaits = [{{ name = "sets", takes = "{1}", keeps = "all" }}]\n'
    jobs = {f"job_{n}": glue.format(f"{n + 1}h", f"{9 - 2 * n}h") + SAW.format("2h") for n in range(4)}
    shop = open_shop(tmp_path, shop=bench, **jobs)
    first, looked = shop.plan(0), planned(shop)
    assert (first.proven, first.late_bound, first.finish_bound) == (False, None, None)
    assert plan_optimality(first) == ""
    assert looked.finish_bound is not None
    assert looked.finish_bound <= looked.finish
    assert plan_optimality(looked) != ""


@pytest.mark.parametrize(
    ("late", "late_bound", "finish", "said"),
    [
        (0, 0, 300 + 61, "If there is a better plan, it delivers at most 2 hours sooner over all jobs."),
        (90, 90, 301, "No plan is less late. If there is a better plan, it delivers at most 1 hour sooner over all jobs."),
        (7000, 1000, 300, "If there is a better plan, it is at most 5 days less late over all jobs."),
    ],
)  # fmt: skip
def test_an_unproven_plan_tells_the_most_to_gain(
    plan: Plan, late: int, late_bound: int, finish: int, said: str
) -> None:
    assert plan_optimality(plan._replace(late=late, late_bound=late_bound, finish=finish)) == said


def test_reserves_that_might_be_kept_are_told(plan: Plan) -> None:
    assert (
        plan_optimality(plan._replace(short=5000, short_bound=2500))
        == "If there is a better plan, it leaves at most 42 hours more of the reserves over all jobs."
    )


def test_weighted_days_are_called_weighted(plan: Plan) -> None:
    heavy = tuple(row._replace(weight=3) for row in plan.jobs)
    assert plan_optimality(plan._replace(finish=1000, jobs=heavy)).endswith(
        "over all jobs, each counted by its weight."
    )


def test_a_single_job_is_not_called_all_jobs(plan: Plan) -> None:
    one = plan._replace(finish=1000, jobs=plan.jobs[:1])
    assert plan_optimality(one) == "If there is a better plan, it delivers at most 12 hours sooner."


def test_a_shop_with_nothing_to_deliver_has_no_best_plan(tmp_path: Path) -> None:
    assert plan_optimality(open_shop(tmp_path).plan()) == ""


def test_with_an_unplaced_step_nothing_is_proven(tmp_path: Path) -> None:
    never = SAW.format("30h") + "one_sitting = true\n"
    plan = planned(open_shop(tmp_path, never=never, saw=SAW.format("1h")))
    assert [row.address for row in plan.unplaced] == ["never/saw"]
    assert (plan.proven, plan.late_bound, plan.finish_bound) == (False, None, None)
    assert plan_optimality(plan) == ""


def test_a_job_tells_its_earliest_possible_delivery(plan: Plan) -> None:
    long, short = (plan.job(job) for job in ("long", "short"))
    assert long is not None
    assert short is not None
    assert job_optimality(short, plan.now) == "No plan could deliver it earlier."
    assert job_optimality(long, plan.now) == "No plan could deliver it before 11:00."
    assert job_optimality(long._replace(floor=None), plan.now) == ""
    assert job_optimality(long._replace(delivered=True), plan.now) == ""


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (1, "1 hour"),
        (60, "1 hour"),
        (61, "2 hours"),
        (47 * 60, "47 hours"),
        (2880, "2 days"),
        (2881, "3 days"),
    ],
)
def test_the_most_to_gain_is_never_rounded_down(minutes: int, said: str) -> None:
    assert most_to_gain(minutes) == said
