"""Draws go through the real scheduler: sums on one maker, passes, windows, appointments, arrivals."""

from __future__ import annotations

import math
from pathlib import Path
from statistics import fmean, pvariance

import pytest
from chance_shops import chain, drawn, hours_to, steps, workshop

from shopday.planning.odds import odds_of

PATH = [(2, 5, 8), (3, 5, 10), (4, 6, 10), (2, 4, 6)]
"""The critical path of a PERT example of published lecture notes: mean 20.83, variance 3.81."""


def test_the_published_path_through_the_scheduler(tmp_path: Path) -> None:
    shop = workshop(tmp_path, {"path": chain(*PATH)})
    found = hours_to(shop, drawn(shop, 800))
    assert fmean(found) == pytest.approx(20.83, abs=4 * math.sqrt(3.81 / 800))
    assert pvariance(found) == pytest.approx(3.81, rel=4 * math.sqrt(2 / 800))


def test_on_one_machine_the_last_delivery_is_the_sum_of_all_that_was_drawn(tmp_path: Path) -> None:
    jobs = {f"job-{n}": steps('turn 2h | spread = ["1h", "4h"]; stations = ["lathe"]') for n in range(5)}
    shop = workshop(tmp_path, jobs, shop='[[stations]]\nid = "lathe"\n')
    for draw in drawn(shop, 50):
        last = max(minute for minute in draw.deliveries if minute is not None)
        assert last - shop.minute() == pytest.approx(sum(draw.own.values()), abs=len(jobs) / 2)


@pytest.mark.parametrize("chance", [0.3, 0.6])
def test_further_passes_take_their_time_and_hold_up_what_follows(tmp_path: Path, chance: float) -> None:
    """Passes of 1 h of work and 1 h of waiting, 1/(1-p) of them on average, and 1 h that follows."""
    pour = f'pour 1h | spread = ["1h", "1h"]; another_pass = {chance}; waits = [{{ name = "sets", takes = "1h" }}]'
    shop = workshop(tmp_path, {"top": steps(pour, 'sand 1h | spread = ["1h", "1h"]')})
    found = hours_to(shop, drawn(shop, 1_000))
    assert {round(hours, 6) % 2 for hours in found} == {1}
    sd = 2 * math.sqrt(chance) / (1 - chance)
    assert fmean(found) == pytest.approx(1 + 2 / (1 - chance), abs=4 * sd / math.sqrt(1_000))


def test_what_waits_for_a_wait_of_the_last_pass_waits_for_that_of_the_further_one(tmp_path: Path) -> None:
    pour = 'pour 1h | spread = ["1h", "1h"]; another_pass = 0.5; waits = [{ name = "gels", takes = "1h" }, { name = "sets", takes = "9h" }]'
    after = 'trim 15h | spread = ["15h", "15h"]; after = [{ step = "pour", when = "gels" }]'
    shop = workshop(tmp_path, {"top": steps(pour, after)})
    found = {round(hours) for hours in hours_to(shop, drawn(shop, 100))}
    assert {hours % 11 for hours in found} == {2 + 15 - 11}
    assert len(found) > 2


def test_a_step_that_is_complete_wants_no_further_pass(tmp_path: Path) -> None:
    pour = 'pour 1h | spread = ["1h", "1h"]; another_pass = 0.9'
    shop = workshop(tmp_path, {"top": steps(pour, 'sand 1h | spread = ["1h", "1h"]')})
    shop.log("start", "top/pour", shop.zone.moment(shop.minute() - 90))
    shop.log("finish", "top/pour", shop.zone.moment(shop.minute() - 30))
    assert set(hours_to(shop, drawn(shop, 30))) == {1.0}


def test_work_under_way_lasts_at_least_as_long_as_it_has(tmp_path: Path) -> None:
    shop = workshop(tmp_path, {"top": steps('saw 3h | spread = ["1h", "5h"]')})
    shop.log("start", "top/saw", shop.zone.moment(shop.minute() - 180))
    left = hours_to(shop, drawn(shop, 100))
    assert 0 < min(left) < max(left) <= 2


def test_an_appointment_that_cannot_be_kept_is_kept_later(tmp_path: Path) -> None:
    text = steps('saw 2h | spread = ["1h", "9h"]', 'fit 1h | spread = ["1h", "1h"]; on = 2026-03-02T11:00:00')
    shop = workshop(tmp_path, {"shelf": text})
    found = hours_to(shop, drawn(shop, 60))
    assert min(found) == 4.0
    assert 4.0 < max(found) <= 10.0


def test_a_sitting_that_runs_over_is_still_one_sitting(tmp_path: Path) -> None:
    text = steps('glue 3h | spread = ["3h", "8h"]; one_sitting = true')
    shop = workshop(tmp_path, {"top": text}, hours="08:00-12:00")
    assert max(hours_to(shop, drawn(shop, 40))) == 4.0


def test_what_arrives_is_late_only_where_a_spread_says_so(tmp_path: Path) -> None:
    sure = steps('hinges | arrives = { what = "hinges", on = 2026-03-03 }')
    late = steps('hinges | arrives = { what = "hinges", on = 2026-03-03 }; spread = ["0m", "4d"]')
    shop = workshop(tmp_path, {"late": late, "sure": sure})
    draws = drawn(shop, 60)
    assert set(hours_to(shop, draws, job=1)) == {16.0}
    found = hours_to(shop, draws, job=0)
    assert 16 <= min(found) < max(found) <= 16 + 96


def test_what_is_away_comes_back_within_its_spread(tmp_path: Path) -> None:
    text = steps('plate | away = { who = "the plater", takes = "3d" }; spread = ["2d", "7d"]')
    shop = workshop(tmp_path, {"frame": text})
    found = hours_to(shop, drawn(shop, 60))
    assert 48 <= min(found) < 72 < max(found) <= 168


def test_the_shop_s_own_history_is_drawn_from(tmp_path: Path) -> None:
    shop = workshop(tmp_path, {"top": steps("sand 2h")})
    found = hours_to(shop, drawn(shop, 60, history={"sand": (1.5, 1.5, 2.0, 2.0, 2.0)}))
    assert set(found) == {3.0, 4.0}


def test_without_any_doubt_every_draw_is_the_plan(tmp_path: Path) -> None:
    text = steps('saw 3h | spread = ["3h", "3h"]', 'glue 2h | spread = ["2h", "2h"]; stations = ["bench"]')
    shop = workshop(tmp_path, {"a": text, "b": text}, "08:00-12:00", '[[stations]]\nid = "bench"\n')
    plan = shop.plan(0.1)
    *_, odds = odds_of(shop, plan, 10)
    assert [(row.p50, row.p95) for row in odds.jobs] == [(row.delivery, row.delivery) for row in plan.jobs]


def test_a_job_whose_promise_comes_into_danger_is_let_forward(tmp_path: Path) -> None:
    """One maker, days of 8 h, planned a, b, c one after another until 15:00. When a takes until 12:00 instead of
    10:00, c would miss Monday behind b, and goes before it: until 15:00, b until 9:00 the next day."""
    fixed = 'work {0} | spread = ["{1}", "{1}"]'
    jobs = {"a": steps(fixed.format("2h", "4h")), "b": steps(fixed.format("2h", "2h"))}
    jobs["c"] = "promise = 2026-03-02\n" + steps(fixed.format("3h", "3h"))
    shop = workshop(tmp_path, jobs, "08:00-16:00")
    assert [step.job for step in shop.plan(0).steps] == ["a", "b", "c"]
    draws = drawn(shop, 3)
    assert [set(hours_to(shop, draws, job)) for job in range(3)] == [{4.0}, {24.0 + 1.0}, {7.0}]


def test_nobody_lets_a_job_forward_before_the_danger_can_be_seen(tmp_path: Path) -> None:
    """The long job would keep Monday if it went first, but that the short one takes 7 h shows when it is over."""
    short = 'short 2h | spread = ["7h", "7h"]'
    long = "promise = 2026-03-02\n" + steps('long 5h | spread = ["5h", "5h"]')
    shop = workshop(tmp_path, {"a": "promise = 2026-03-04\n" + steps(short), "b": long}, "08:00-16:00")
    assert [step.job for step in shop.plan(0).steps] == ["a", "b"]
    draws = drawn(shop, 3)
    assert set(hours_to(shop, draws, job=0)) == {7.0}
    assert set(hours_to(shop, draws, job=1)) == {24.0 + 4.0}


def test_the_danger_of_missing_the_only_day_before_the_promise_is_seen_at_once(tmp_path: Path) -> None:
    """As before, but c is promised for Thursday and the van goes on Mondays at 15:00 alone: days in hand are none."""
    fixed = 'work {0} | spread = ["{1}", "{1}"]'
    van = 'load 1h | spread = ["1h", "1h"]; one_sitting = true; only = { days = ["monday"], between = "15:00-16:00" }'
    jobs = {"a": steps(fixed.format("2h", "4h")), "b": steps(fixed.format("2h", "2h"))}
    jobs["c"] = "promise = 2026-03-05\n" + steps(fixed.format("3h", "3h"), van)
    shop = workshop(tmp_path, jobs, "08:00-16:00")
    assert [step.job for step in shop.plan(0).steps] == ["a", "b", "c", "c"]
    draws = drawn(shop, 3)
    assert [set(hours_to(shop, draws, job)) for job in range(3)] == [{4.0}, {24.0 + 2.0}, {8.0}]
