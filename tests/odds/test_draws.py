"""Draws go through the real scheduler: sums on one maker, passes, windows, appointments, arrivals."""

from __future__ import annotations

import math
from pathlib import Path
from statistics import fmean, pvariance

import pytest
from chance_shops import NOW, chain, drawn, hours_to, open_shop, steps

from shopday.planning.odds.delivery_odds import odds_of
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

PATH = [(2, 5, 8), (3, 5, 10), (4, 6, 10), (2, 4, 6)]
"""The critical path of a PERT example of published lecture notes: mean 20.83, variance 3.81."""


def test_the_published_path_holds_through_the_scheduler(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"path": chain(*PATH)})
    found = hours_to(shop, drawn(shop, 800))
    assert fmean(found) == pytest.approx(20.83, abs=4 * math.sqrt(3.81 / 800))
    assert pvariance(found) == pytest.approx(3.81, rel=4 * math.sqrt(2 / 800))


def test_on_one_machine_the_last_delivery_is_the_sum_of_all_that_was_drawn(tmp_path: Path) -> None:
    jobs = {f"job-{n}": steps('turn 2h | spread = ["1h", "4h"]; stations = ["lathe"]') for n in range(5)}
    shop = open_shop(tmp_path, jobs, shop='[[stations]]\nid = "lathe"\n')
    for draw in drawn(shop, 50):
        last = max(minute for minute in draw.deliveries if minute is not None)
        assert last - shop.minute() == pytest.approx(sum(draw.own.values()), abs=len(jobs) / 2)


@pytest.mark.parametrize("chance", [0.3, 0.6])
def test_further_passes_take_time_and_delay_successors(tmp_path: Path, chance: float) -> None:
    """Passes of 1 h of work and 1 h of waiting, 1/(1-p) of them on average, and 1 h that follows."""
    pour = f'pour 1h | spread = ["1h", "1h"]; another_pass = {chance}; waits = [{{ name = "sets", takes = "1h" }}]'
    shop = open_shop(tmp_path, {"top": steps(pour, 'sand 1h | spread = ["1h", "1h"]')})
    found = hours_to(shop, drawn(shop, 1_000))
    assert {round(hours, 6) % 2 for hours in found} == {1}
    sd = 2 * math.sqrt(chance) / (1 - chance)
    assert fmean(found) == pytest.approx(1 + 2 / (1 - chance), abs=4 * sd / math.sqrt(1_000))


def test_successors_of_the_last_pass_wait_for_the_further_one(tmp_path: Path) -> None:
    pour = 'pour 1h | spread = ["1h", "1h"]; another_pass = 0.5; waits = [{ name = "gels", takes = "1h" }, { name = "sets", takes = "9h" }]'
    after = 'trim 15h | spread = ["15h", "15h"]; after = [{ step = "pour", when = "gels" }]'
    shop = open_shop(tmp_path, {"top": steps(pour, after)})
    found = {round(hours) for hours in hours_to(shop, drawn(shop, 100))}
    assert {hours % 11 for hours in found} == {2 + 15 - 11}
    assert len(found) > 2


def test_a_complete_step_gets_no_further_pass(tmp_path: Path) -> None:
    pour = 'pour 1h | spread = ["1h", "1h"]; another_pass = 0.9'
    shop = open_shop(tmp_path, {"top": steps(pour, 'sand 1h | spread = ["1h", "1h"]')})
    shop.log("start", "top/pour", shop.zone.moment(shop.minute() - 90))
    shop.log("finish", "top/pour", shop.zone.moment(shop.minute() - 30))
    assert set(hours_to(shop, drawn(shop, 30))) == {1.0}


def test_work_under_way_lasts_at_least_as_long_as_it_has_so_far(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"top": steps('saw 3h | spread = ["1h", "5h"]')})
    shop.log("start", "top/saw", shop.zone.moment(shop.minute() - 180))
    left = hours_to(shop, drawn(shop, 100))
    assert 0 < min(left) < max(left) <= 2


def test_an_appointment_that_cannot_be_kept_is_kept_later(tmp_path: Path) -> None:
    text = steps('saw 2h | spread = ["1h", "9h"]', 'fit 1h | spread = ["1h", "1h"]; on = 2026-03-02T11:00:00')
    shop = open_shop(tmp_path, {"shelf": text})
    found = hours_to(shop, drawn(shop, 60))
    assert min(found) == 4.0
    assert 4.0 < max(found) <= 10.0


def test_unbroken_work_that_overruns_stays_unbroken(tmp_path: Path) -> None:
    text = steps('glue 3h | spread = ["3h", "8h"]; one_sitting = true')
    shop = open_shop(tmp_path, {"top": text}, hours="08:00-12:00")
    assert max(hours_to(shop, drawn(shop, 40))) == 4.0


HINGES = 'hinges | arrives = { what = "hinges", on = 2026-03-03 }'
PLATER = 'plate | away = {{ who = "the plater", takes = "{}" }}'


@pytest.mark.parametrize(
    ("spread", "least", "most"), [("", 0, 7 * 24), ("; spread = ['1d', '4d']", 24, 4 * 24)]
)
def test_arrivals_are_late_by_their_spread_or_up_to_a_week(
    tmp_path: Path, spread: str, least: int, most: int
) -> None:
    """Its day begins 16 hours from now."""
    shop = open_shop(tmp_path, {"late": steps(HINGES + spread)})
    found = hours_to(shop, drawn(shop, 200))
    assert 16 + least <= min(found) < 16 + least + (most - least) / 10
    assert 16 + least + (most - least) / 2 < max(found) <= 16 + most


@pytest.mark.parametrize("day", [3, 9])
def test_an_overdue_arrival_may_be_late_again(tmp_path: Path, day: int) -> None:
    """On its own day, in the afternoon, and six days later: nobody has logged it."""
    shop = OpenShop(
        open_shop(tmp_path, {"late": steps(HINGES)}, "08:00-16:00").path, NOW.replace(day=day, hour=14)
    )
    found = hours_to(shop, drawn(shop, 200))
    assert len(set(found)) > 20
    assert max(found) <= 24 + 7 * 24 + 24


def test_an_arrival_that_is_here_is_not_late(tmp_path: Path) -> None:
    shop = OpenShop(open_shop(tmp_path, {"late": steps(HINGES, "fit 1h")}).path, NOW.replace(day=9))
    shop.log("arrived", "late/hinges")
    assert max(hours_to(shop, drawn(shop, 60))) <= 2.5


@pytest.mark.parametrize(
    ("takes", "spread", "hours"),
    [
        ("3d", "", (0.9 * 72, 72, 2 * 72)),
        ("3d", "; spread = ['2d', '7d']", (48, 72, 168)),
        (
            "5 workdays",
            "",
            (5 * 24, 7 * 24, 14 * 24),
        ),  # from a Monday: 5 to 10 of them, round(0.9 * 5) = 4.5 up
    ],
)
def test_absences_end_by_their_spread_or_after_up_to_twice_their_time(
    tmp_path: Path, takes: str, spread: str, hours: tuple[float, float, float]
) -> None:
    shop = open_shop(tmp_path, {"frame": steps(PLATER.format(takes) + spread)})
    found = hours_to(shop, drawn(shop, 200))
    least, said, most = hours
    assert least <= min(found) <= said < max(found) <= most


def test_an_absence_under_way_ends_after_now(tmp_path: Path) -> None:
    """Away for 3 days since 48 hours: 0.9 to 2.0 times 72 h, so 16.8 to 96 h from now."""
    shop = open_shop(tmp_path, {"frame": steps(PLATER.format("3d"))})
    shop.log("start", "frame/plate", shop.zone.moment(shop.minute() - 48 * 60))
    found = hours_to(shop, drawn(shop, 200))
    assert 16.8 <= min(found) < 24 < max(found) <= 96


def test_a_long_overdue_absence_is_late_like_an_arrival(tmp_path: Path) -> None:
    """Away for 3 days since 7: with the shop's next hours, at midnight, or up to a week later."""
    shop = open_shop(tmp_path, {"frame": steps(PLATER.format("3d"))}, "08:00-16:00")
    shop.log("start", "frame/plate", shop.zone.moment(shop.minute() - 7 * 24 * 60))
    found = hours_to(shop, drawn(shop, 200))
    assert 24 <= min(found) < 48 < max(found) <= 24 + 7 * 24


CURE = 'pour 1h | spread = ["1h", "1h"]; waits = [{ name = "cures", takes = "48h", spread = ["24h", "72h"] }]'


def test_a_wait_takes_a_time_within_its_spread(tmp_path: Path) -> None:
    """(24 + 4 * 48 + 72) / 6 = 48 h on average after the hour of work, with a standard deviation of 8 h."""
    shop = open_shop(tmp_path, {"top": steps(CURE)})
    found = hours_to(shop, drawn(shop, 400))
    assert 1 + 24 <= min(found) < max(found) <= 1 + 72
    assert fmean(found) == pytest.approx(49, abs=4 * 8 / math.sqrt(400))


@pytest.mark.parametrize(("ago", "least", "most"), [(40, 0, 32), (60, 0, 0)])
def test_a_running_wait_takes_longer_than_it_has_run(tmp_path: Path, ago: int, least: int, most: int) -> None:
    """After 40 h up to 32 more; after 60 it is over, since the plan takes it up after 48."""
    shop = open_shop(tmp_path, {"top": steps(CURE, 'sand 1h | spread = ["1h", "1h"]')})
    minute = shop.minute()
    shop.log("start", "top/pour", shop.zone.moment(minute - ago * 60 - 60))
    shop.log("finish", "top/pour", shop.zone.moment(minute - ago * 60))
    found = hours_to(shop, drawn(shop, 100))
    assert 1 + least <= min(found) <= max(found) <= 1 + most
    assert (len(set(found)) > 20) == (most > 0)


def test_draws_use_the_spreads_of_the_book(tmp_path: Path) -> None:
    """Table-top resin: published as 24 to 72 h a layer."""
    shop = open_shop(tmp_path, {"top": steps('pour 1h | spread = ["1h", "1h"]; material = "tabletop-resin"')})
    found = hours_to(shop, drawn(shop, 100))
    assert 1 + 24 <= min(found) < 40 < 56 < max(found) <= 1 + 72


def test_draws_use_the_shops_own_history(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"top": steps("sand 2h")})
    found = hours_to(shop, drawn(shop, 60, history={"sand": (1.5, 1.5, 2.0, 2.0, 2.0)}))
    assert set(found) == {3.0, 4.0}


def test_without_uncertainty_every_draw_is_the_plan(tmp_path: Path) -> None:
    text = steps('saw 3h | spread = ["3h", "3h"]', 'glue 2h | spread = ["2h", "2h"]; stations = ["bench"]')
    shop = open_shop(tmp_path, {"a": text, "b": text}, "08:00-12:00", '[[stations]]\nid = "bench"\n')
    plan = shop.plan(0.1)
    *_, odds = filter(None, odds_of(shop, plan, 10))
    assert [(row.p50, row.p95) for row in odds.jobs] == [(row.delivery, row.delivery) for row in plan.jobs]


def test_a_job_with_an_endangered_promise_is_brought_forward(tmp_path: Path) -> None:
    """One maker, days of 8 h, planned a, b, c one after another until 15:00. When a takes until 12:00 instead of
    10:00, c would miss Monday behind b, and goes before it: until 15:00, b until 9:00 the next day."""
    fixed = 'work {0} | spread = ["{1}", "{1}"]'
    jobs = {"a": steps(fixed.format("2h", "4h")), "b": steps(fixed.format("2h", "2h"))}
    jobs["c"] = "promise = 2026-03-02\n" + steps(fixed.format("3h", "3h"))
    shop = open_shop(tmp_path, jobs, "08:00-16:00")
    assert [step.job for step in shop.plan(0).steps] == ["a", "b", "c"]
    draws = drawn(shop, 3)
    assert [set(hours_to(shop, draws, job)) for job in range(3)] == [{4.0}, {24.0 + 1.0}, {7.0}]


def test_no_job_is_brought_forward_before_the_danger_shows(tmp_path: Path) -> None:
    """The long job would keep Monday if it went first, but that the short one takes 7 h shows when it is over."""
    short = 'short 2h | spread = ["7h", "7h"]'
    long = "promise = 2026-03-02\n" + steps('long 5h | spread = ["5h", "5h"]')
    shop = open_shop(tmp_path, {"a": "promise = 2026-03-04\n" + steps(short), "b": long}, "08:00-16:00")
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
    shop = open_shop(tmp_path, jobs, "08:00-16:00")
    assert [step.job for step in shop.plan(0).steps] == ["a", "b", "c", "c"]
    draws = drawn(shop, 3)
    assert [set(hours_to(shop, draws, job)) for job in range(3)] == [{4.0}, {24.0 + 2.0}, {8.0}]
