"""The reserve of a promise, worked out by hand and read off `plan --json`; and what must hold of it whatever the shop.

The usual overruns: work takes 1.43 times its estimate on average ((0.9 + 4 x 1.3 + 2.5) / 6 = 1.4333), with a variance
of ((2.5 - 0.9) / 6)^2 / 2 = 0.0356 a step, the half of which is (2 / 15)^2. Now is Monday, 8:00; days are of 8 h.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from chance_shops import ALWAYS, NOW, open_shop, steps

from shopday.__main__ import main
from shopday.planning.encoding.reserve import USUAL, Left, Overrun, Promise, overrun, reserve
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving import plan_solver
from shopday.scheduler import verify_result

pytestmark = pytest.mark.slow

HOURS = "08:00-16:00"
FRIDAY = "promise = 2026-03-06\n"
"""Ends in 112 h, 6720 minutes, of which 5 x 480 = 2400 are open: a minute of work is 2.8 real ones."""


def reserves(shop: OpenShop, capsys: pytest.CaptureFixture[str]) -> Mapping[str, int | None]:
    """By job, as the command says."""
    now = shop.now().replace(tzinfo=None).isoformat()
    assert main(["--shop", str(shop.path), "--now", now, "plan", "--effort", "0", "--json"]) == 0
    *_, (built, result) = filter(
        None, plan_solver.improved_plans(shop.folder, shop.state(), shop.minute(), effort=0)
    )
    assert verify_result(built.problem, result) == []
    return {row["job"]: row["reserve_minutes"] for row in json.loads(capsys.readouterr().out)["jobs"]}


def test_the_reserve_of_work_alone_follows_the_formula(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """240 x 2.8 = 672: 0.4333 x 672 = 291.2 on average, and 0.84 x 2/15 x 672 = 75.3."""
    shop = open_shop(tmp_path, {"a": FRIDAY + steps("saw 4h")}, HOURS)
    assert reserves(shop, capsys) == {"a": 366}


def test_the_reserve_counts_further_passes_and_others_work_among_two_makers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Work: 240 + 60 and half of 1200, 900 x 2.8 = 2520; on average 1092, with a deviation of 336. Passes: of 1 h and
    10 h, 1 more on average, 660, with a variance of (660 / 0.5)^2 x 0.5 = 871 200. 1092 + 660 + 0.84 x
    root(112 896 + 871 200) = 1752 + 0.84 x 992.0 = 2585.3."""
    coat = 'coat 1h | another_pass = 0.5; waits = [{ name = "dries", takes = "10h" }]'
    makers = '[[people]]\nid = "ada"\n[[people]]\nid = "kit"\n'
    jobs = {"a": FRIDAY + steps("saw 4h", coat), "b": steps("carve 20h")}
    shop = open_shop(tmp_path, jobs, HOURS, makers)
    assert reserves(shop, capsys) == {"a": 2585, "b": None}


def test_work_without_room_is_left_out_and_the_worst_absence_counts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Until Tuesday's end 2400 minutes, 960 open: 2.5 real ones each. Of 60 + 2400 of work 960 / 1.4333 = 669.8 fit:
    x 2.5 = 1674.4; on average 725.6, with a deviation of 223.3. Hinges: 0 to 6 h late, 60 on average and a deviation
    of 60. Away for 1440: -0.1, 0.1, 1.0 times it late, 312 on average and a deviation of 264, which is worse:
    725.6 + 312 + 0.84 x root(49 843 + 69 696) = 1037.6 + 0.84 x 345.7 = 1328.0."""
    hinges = 'hinges | arrives = { on = 2026-03-02 }; spread = ["0m", "6h"]'
    plate = 'plate | away = { takes = "1d" }'
    jobs = {"a": "promise = 2026-03-03\n" + steps(hinges, plate, "fit 1h"), "b": steps("carve 40h")}
    shop = open_shop(tmp_path, jobs, HOURS)
    assert reserves(shop, capsys) == {"a": 1328, "b": None}


def test_without_the_rule_there_is_no_reserve(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jobs = {"a": FRIDAY + steps("saw 4h"), "b": steps("saw 4h")}
    shop = open_shop(tmp_path, jobs, HOURS, "[rules]\nreserve = false\n")
    assert reserves(shop, capsys) == {"a": 0, "b": None}


@pytest.mark.parametrize(("cases", "minutes"), [(20, 0), (19, 33)])
def test_the_shops_own_overruns_count_from_twenty_cases(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], cases: int, minutes: int
) -> None:
    """Every hour took an hour. With 19 of them the usual is kept to: an hour left, at work day and night,
    60 x (0.4333 + 0.84 x 2/15) = 32.7."""
    lines = [f's{n} 1h | spread = ["1h", "1h"]' for n in range(cases + 1)]
    shop = OpenShop(
        open_shop(tmp_path, {"a": FRIDAY + steps(*lines)}, ALWAYS).path, NOW + dt.timedelta(hours=cases)
    )
    for n in range(cases):
        began = shop.zone.moment(shop.minute() - 60 * (cases - n))
        shop.log("start", f"a/s{n}", began)
        shop.log("finish", f"a/s{n}", began + dt.timedelta(hours=1))
    assert reserves(shop, capsys) == {"a": minutes}


def test_a_shops_overruns_are_those_of_its_cases() -> None:
    """Ten of 1.2 and ten of 1.8 times the estimate; a shop quicker than it says gets no reserve for it."""
    found = overrun([(60, 72), (60, 108)] * 10)
    assert (round(found.mean, 6), round(found.variance, 6)) == (1.5, 0.09)
    assert overrun([(60, 108)] * 19) == USUAL
    assert overrun([(60, 30)] * 20) == Overrun(1.0, 0.0)


@pytest.mark.parametrize("seed", range(200))
def test_the_reserve_never_grows_with_less_work_and_is_never_negative(seed: int) -> None:
    random = Random(seed)
    left = {n: _left(random) for n in range(random.randint(1, 5))}
    minutes = random.randint(-3000, 30_000)
    promise = Promise(0, minutes, random.randint(0, max(0, minutes)), random.randint(1, 3))
    runs = random.choice([USUAL, Overrun(1.0, 0.2), Overrun(2.5, 0.0)])
    whole = reserve(promise, left, runs)
    assert 0 <= whole <= max(0, minutes)
    job = random.choice(list(left))
    for less in _less(left[job], random):
        assert reserve(promise, {**left, job: less}, runs) <= whole
    without = {n: other for n, other in left.items() if n != job}
    assert reserve(promise, without, runs) <= whole


def _left(random: Random) -> Left:
    def delays() -> list[tuple[float, float]]:
        return [(random.uniform(0, 3000), random.uniform(0, 1500) ** 2) for _ in range(random.randint(0, 3))]

    return Left(random.randint(0, 3000), delays(), delays())


def _less(left: Left, random: Random) -> list[Left]:
    """With less work, without one of its further passes, without one thing away."""
    return [
        replace(left, work=random.randint(0, left.work)),
        replace(left, passes=left.passes[1:]),
        replace(left, absences=left.absences[1:]),
    ]
