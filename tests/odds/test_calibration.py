"""Dates told for shops of several jobs hold as often as they say, when work is followed as the product does."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from courses import Course, first_plan, made_up, played

SHOPS, COURSES = 8, 3


def test_dates_of_whole_shops_hold_as_often_as_they_say() -> None:
    """Some 150 deliveries; the bounds leave room for their chance, and for the courses of one shop being alike.
    `courses.py` plays as many as wanted."""
    found: Counter[str] = Counter()
    for seed in range(SHOPS):
        found.update(played(seed, COURSES))
    assert found["promises"] > 100
    shares = {name: found[name] / found["promises"] for name in ("p50", "p80", "p95")}
    assert 0.40 <= shares["p50"] <= 0.60
    assert 0.66 <= shares["p80"] <= 0.90
    assert 0.88 <= shares["p95"] <= 1.00


def test_a_course_is_the_same_each_time_and_another_is_another(tmp_path: Path) -> None:
    shop = made_up(tmp_path, 3, reserve=False)
    plan = first_plan(shop)
    assert plan.late == 0
    once, again, other = (Course(shop, plan, seed).deliveries() for seed in ("a", "a", "b"))
    assert once == again != other
    assert once.keys() == shop.folder.jobs.keys()
