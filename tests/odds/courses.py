"""Made-up shops played through step by step, with random lengths, passes and lateness: what their plans are worth.

By hand, from the repository: python tests/odds/courses.py --shops 60 --courses 5 [--first 0] [--no-reserve]
[--processes 2]. The same seed and course give the same lengths however the plan is followed.
"""

from __future__ import annotations

import argparse
import copy
import datetime as dt
import math
import os
import tempfile
from collections import Counter
from collections.abc import Callable, Container, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path
from random import Random

from chance_shops import NOW, steps, workshop

from shopday.journal.state import PassState, ShopState
from shopday.planning import asking
from shopday.planning.build import build
from shopday.planning.chances import AWAY, LATE, OVER, pert
from shopday.planning.kept_plan import KeptPlan
from shopday.planning.odds import JobOdds, odds_of
from shopday.planning.offers import offers
from shopday.planning.plan import JobRow, Plan, PlannedStep, State
from shopday.planning.read import read
from shopday.planning.workshop import Workshop
from shopday.schedule.verify import verify
from shopday.shop.models import Rules, Wait

DRAWS = 200
EFFORT = 0.1
HOURS, DAY = "08:00-16:00", 480
STATIONS = '[[stations]]\nid = "bench"\n[[gear]]\nid = "clamps"\ncount = 8\n'
NO_RESERVE = "[rules]\nreserve = false\n" if "reserve" in Rules.model_fields else ""

SPARE, APART = 1.2, 0.7
"""Promised days per day of work of this job and those before it, and per day that passes without any."""

Follow = Callable[[Workshop, ShopState, Plan, int], Plan]
"""The plan from this minute on, after what has happened, by the plan before."""


# ------------------------------------------------------------ shops


def made_up(folder: Path, seed: int, reserve: bool = True) -> Workshop:
    """One maker and five to eight jobs of sawing, glueing, finishing, things ordered or sent away. There are hours
    enough: done in the order of their promises, with the usual overruns, they leave some to spare. A plan without
    reserve keeps all promises too, on paper."""
    random = Random(seed)
    while workshop(folder, jobs := _jobs(random), HOURS, STATIONS + NO_RESERVE).plan(EFFORT).late:
        pass
    return workshop(folder, jobs, HOURS, STATIONS + ("" if reserve else NO_RESERVE))


def _jobs(random: Random) -> dict[str, str]:
    """Job files by id, the earliest promise first."""
    jobs, busy = {}, 0.0
    for n in range(random.randint(5, 8)):
        lines, work, apart = _steps(random)
        busy += work * OVER.mean / DAY
        day = math.ceil(SPARE * busy + APART * apart + random.uniform(0, 1))
        weight = f"weight = {random.choice([1, 1, 2, 4])}\n"
        jobs[f"job-{n}"] = f"promise = {NOW.date() + dt.timedelta(days=day)}\n{weight}{steps(*lines)}"
    return jobs


def _steps(random: Random) -> tuple[list[str], int, float]:
    """Lines of a job, its minutes of work, and the days that pass meanwhile without any."""
    saw = random.randrange(60, 360, 15)
    lines, work, apart = [f"saw {saw}m |"], saw, 0.0
    if random.random() < 0.5:
        lines[0] += f' spread = ["{saw * 2 // 3}m", "{saw * 2}m"]'
    if random.random() < 0.3:
        on = random.randint(1, 4)
        lines.insert(0, f"wood | arrives = {{ on = {NOW.date() + dt.timedelta(days=on)} }}")
        apart = max(apart, on + 1)
    if random.random() < 0.7:
        glue, cure = random.randrange(30, 90, 15), random.randint(2, 14)
        cures = f'takes = "{cure}h", spread = ["{cure}h", "{2 * cure}h"], keeps = "all"'
        clamps = f"gear = {{ clamps = {random.randint(3, 8)} }}"
        lines.append(f'glue {glue}m | stations = ["bench"]; {clamps}; waits = [{{ name = "sets", {cures} }}]')
        work, apart = work + glue, apart + 1
    if random.random() < 0.3:
        days = random.randint(1, 3)
        lines.append(f'plate | away = {{ takes = "{days}d" }}')
        apart += days * AWAY.mean + 0.5
    if random.random() < 0.6:
        coat, chance = random.randrange(20, 60, 10), random.choice([0, 0.2, 0.4])
        dries = f'waits = [{{ name = "dries", takes = "{random.randint(3, 20)}h" }}]'
        lines.append(f"coat {coat}m | passes = 2; another_pass = {chance}; {dries}")
        work, apart = work + 3 * coat, apart + 2
    deliver = random.randrange(30, 180, 15)
    return [*lines, f"deliver {deliver}m"], work + deliver, apart


# ------------------------------------------------------------ following a plan


def kept(shop: Workshop, state: ShopState, plan: Plan, now: int) -> Plan:
    """The plan on the wall, repaired."""
    built, result = asking.repaired(shop.folder, state, now, KeptPlan.of(plan, ""), changed=True)
    assert verify(built.problem, result.schedule) == []
    return read(built, result)


def kept_or_better(shop: Workshop, state: ShopState, plan: Plan, now: int) -> Plan:
    """Repaired; with the first step of a day a better plan is used that is worth the change, as in the app."""
    plan = kept(shop, state, plan, now)
    if shop.zone.date(now) == plan_date(shop, state):
        return plan
    found = (read(*answer) for answer in asking.answers(shop.folder, state, now, EFFORT, near=plan))
    *_, (_, better) = offers(plan, found)
    return plan if better is None else better


def plan_date(shop: Workshop, state: ShopState) -> dt.date | None:
    """The day of the last fact but one."""
    logged = sorted(
        at for log in state.passes.values() for at in (log.started, log.finished) if at is not None
    )
    return shop.zone.date(logged[-3]) if len(logged) > 2 else None


class Course:
    """One way in which it may go: what is planned next is done, takes as long as it happens to take, and the plan is
    followed. How long a wait takes shows when it begins; that something is not here, when it is wanted.

    here: minute at which each thing ordered or sent away comes, as far as that is settled; by address.
    """

    def __init__(self, shop: Workshop, plan: Plan, seed: str, follow: Follow) -> None:
        self.shop, self.plan, self.seed, self.follow = copy.copy(shop), plan, seed, follow
        self.state, self.now, self.zone = ShopState(), shop.zone.of(plan.now), shop.zone
        hours = build(shop.folder, self.state, self.now).hours
        self.opened = hours.calendars[hours.open]
        self.shared = {job: OVER.draw(self._random(job)) for job in shop.folder.jobs}
        self.here = {row.address: self._arrival(row) for row in plan.steps if row.kind == "arrives"}
        self.count: Counter[str] = Counter()
        self.ways: dict[str, int] = {}

    def deliveries(self) -> dict[str, int]:
        """The minute of each job's delivery."""
        while self._go_on():
            before, self.plan = self.plan, self.follow(self.shop, self.state, self.plan, self.now)
            self._compare(before)
        ends: dict[str, int] = {}
        for row in self.plan.steps:
            ends[row.job] = max(ends.get(row.job, 0), self.zone.of(row.complete))
        return ends

    def _go_on(self) -> bool:
        """What comes next: something is here, or is waited for longer, or leaves, or is worked on."""
        planned = (row for row in self.plan.steps if row.state is State.PLANNED and row.kind != "arrives")
        row = min(planned, key=lambda row: row.start, default=None)
        start = math.inf if row is None else self.zone.of(row.start)
        missing = {address: at for address, at in self.here.items() if address not in self.state.arrived}
        comes = min(missing, key=missing.__getitem__, default="")
        if comes and missing[comes] <= start:
            self.state.arrived[comes] = missing[comes]
            self.now = max(self.now, missing[comes])
        elif row is None:
            return False
        else:
            self._take_up(row, missing)
        return True

    def _take_up(self, row: PlannedStep, missing: Container[str]) -> None:
        start = self.now = self.zone.of(row.start)
        wanted = [p.address for p in self.shop.expansion.before[row.address] if p.address in missing]
        away = self.shop.expansion.steps[row.address].step.away
        if wanted:
            self._expect_tomorrow(wanted)
        elif away is not None:
            self.state.passes[row.key] = PassState(start)
            self.here[row.address] = start + round(away.takes[1] * AWAY.draw(self._random(row.address)))
        else:
            self.now = self._work(row, start)

    def _work(self, row: PlannedStep, start: int) -> int:
        """Log it as it went; the minute at which it was over."""
        built = build(self.shop.folder, self.state, self.zone.of(self.plan.now))
        p, random = built.passes[built.index[row.key]], self._random(*row.key)
        if p.step.spread is not None:
            work = pert(p.step.spread, p.step.hands_on).draw(random)
        else:
            work = p.base * (self.shared[row.job] + OVER.draw(random)) / 2
        over = self.opened.finish(start, max(1, round(work)))
        assert over is not None
        self.state.passes[row.key] = PassState(start, over, row.people)
        if row.pass_no == row.passes and random.random() < p.step.another_pass:
            self.state.extra_passes[row.address] = self.state.extra_passes.get(row.address, 0) + 1
        if any(wait.spread for wait in p.waits):
            self._write(row.address, waits=tuple(_lasting(wait, random) for wait in p.waits))
        return over

    def _arrival(self, row: PlannedStep) -> int:
        late = LATE.draw(self._random(row.address))
        here = self.opened.open_from(self.zone.of(row.complete) + round(late))
        assert here is not None
        return here

    def _expect_tomorrow(self, addresses: Iterable[str]) -> None:
        """What was to arrive today; what is away is expected with the next hours by itself."""
        for address in addresses:
            arrives = self.shop.expansion.steps[address].step.arrives
            if arrives is not None:
                tomorrow = self.zone.date(self.now) + dt.timedelta(days=1)
                self._write(address, arrives=arrives.model_copy(update={"on": tomorrow}))

    def _write(self, address: str, **fields: object) -> None:
        """Change a step of a whole job, as its owner would in the file."""
        job_id, step_id = address.split("/")
        job = self.shop.folder.jobs[job_id]
        own = tuple(s.model_copy(update=fields if s.id == step_id else {}) for s in job.steps)
        jobs = {**self.shop.folder.jobs, job_id: job.model_copy(update={"steps": own})}
        self.shop.folder = replace(self.shop.folder, jobs=jobs)

    def _random(self, *key: object) -> Random:
        """Of its own for each thing, so that the same happens whatever is done first."""
        return Random(f"{self.seed} {key}")

    def _compare(self, before: Plan) -> None:
        """Count the deliveries that change by a day or more: to later, and the other way than the last time."""
        for row in self.plan.jobs:
            old = before.job(row.job)
            assert old is not None
            assert old.delivery is not None
            assert row.delivery is not None
            if days := (row.delivery.date() - old.delivery.date()).days:
                self.count["later"] += days > 0
                self.count["turned"] += days * self.ways.get(row.job, days) < 0
                self.ways[row.job] = days


def _lasting(wait: Wait, random: Random) -> Wait:
    if wait.spread is None:
        return wait
    return wait.model_copy(update={"takes": round(pert(wait.spread, wait.takes).draw(random))})


# ------------------------------------------------------------ many


def played(seed: int, courses: int, reserve: bool = True, follow: Follow = kept) -> Counter[str]:
    """What came of so many courses in one shop."""
    count: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        shop = made_up(Path(folder), seed, reserve)
        plan = shop.plan(EFFORT)
        *_, odds = odds_of(shop, plan, DRAWS)
        for n in range(courses):
            course = Course(shop, plan, f"{seed}/{n}", follow)
            ends = course.deliveries()
            count.update({"courses": 1, **course.count})
            for row in plan.jobs:
                count.update(_outcome(row, odds.job(row.job), ends[row.job], shop))
    return count


def _outcome(row: JobRow, odds: JobOdds | None, end: int, shop: Workshop) -> dict[str, int]:
    """One delivery: whether its promise was kept, how late it was, and which of the dates told held."""
    assert row.promise is not None
    assert odds is not None
    late = max(0, end - shop.zone.minute(row.promise + dt.timedelta(days=1)))
    untouched = int(getattr(row, "short_minutes", None) == 0)
    found = {"promises": 1, "kept": int(not late), "late": row.weight * late, "untouched": untouched}
    dates = {"p50": odds.p50, "p80": odds.p80, "p95": odds.p95}
    held = {name: int(date is not None and end <= shop.zone.of(date)) for name, date in dates.items()}
    return {**found, "untouched kept": untouched and int(not late), **held}


def told(count: Counter[str]) -> str:
    """The figures in a line."""

    def share(part: str, whole: str = "promises") -> str:
        return f"{count[part] / count[whole]:.1%}" if count[whole] else "-"

    each = {name: count[name] / count["courses"] for name in ("late", "later", "turned")}
    return (
        f"{count['promises']} promises, kept {share('kept')}, with the reserve untouched"
        f" {share('untouched kept', 'untouched')} of {count['untouched']}; a course: {each['late'] / 60:.1f} weighted hours"
        f" late, deliveries {each['later']:.1f} times later, {each['turned']:.1f} times turned round;"
        f" dates held: {', '.join(f'{name} {share(name)}' for name in ('p50', 'p80', 'p95'))}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shops", type=int, default=60)
    parser.add_argument("--courses", type=int, default=5)
    parser.add_argument("--first", type=int, default=0, help="seed of the first shop")
    parser.add_argument("--no-reserve", action="store_true")
    parser.add_argument(
        "--app", action="store_true", help="look for a better plan every morning, as the app does"
    )
    parser.add_argument("--processes", type=int, default=1)
    args = parser.parse_args()
    follow = kept_or_better if args.app else kept
    play = partial(played, courses=args.courses, reserve=not args.no_reserve, follow=follow)
    seeds, whole = range(args.first, args.first + args.shops), Counter[str]()
    with ProcessPoolExecutor(min(args.processes, os.cpu_count() or 1)) as pool:
        for number, count in enumerate(pool.map(play, seeds), 1):
            whole.update(count)
            print(f"{number} shops: {told(whole)}", flush=True)


if __name__ == "__main__":
    main()
