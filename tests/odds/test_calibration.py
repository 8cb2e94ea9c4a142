"""In shops played through as the product is followed, dates hold as often as they say and the reserve keeps promises."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from courses import Course, first_plan, made_up, played

pytestmark = pytest.mark.slow

SHOPS, COURSES = 8, 3


@cache
def count(reserve: bool) -> Counter[str]:
    """Of some 150 promises; bounds leave room for their chance, and for the courses of one shop being alike.
    `courses.py` plays as many as wanted."""
    found: Counter[str] = Counter()
    for seed in range(SHOPS):
        found.update(played(seed, COURSES, reserve))
    return found


def test_dates_of_whole_shops_hold_as_often_as_they_say() -> None:
    found = count(reserve=True)
    assert found["promises"] > 100
    shares = {name: found[name] / found["promises"] for name in ("p50", "p80", "p95")}
    assert 0.42 <= shares["p50"] <= 0.58
    assert 0.70 <= shares["p80"] <= 0.90
    assert 0.89 <= shares["p95"] <= 0.99


def test_a_reserve_keeps_promises_and_holds_where_it_is_untouched() -> None:
    found, without = count(reserve=True), count(reserve=False)
    assert found["promises"] == without["promises"]
    assert found["kept"] > without["kept"]
    assert found["late"] < without["late"]
    assert found["untouched"] > found["promises"] / 2
    assert found["untouched kept"] >= 0.8 * found["untouched"]


def test_a_course_is_reproducible_and_courses_differ(tmp_path: Path) -> None:
    shop = made_up(tmp_path, 3, reserve=False)
    plan = first_plan(shop)
    assert plan.late == 0
    once, again, other = (Course(shop, plan, seed).deliveries() for seed in ("a", "a", "b"))
    assert once == again != other
    assert once.keys() == shop.folder.jobs.keys()
