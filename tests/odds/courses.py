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
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path
from random import Random

from chance_shops import NOW, open_shop, steps

from shopday.journal.state import Key, PassState, ShopState, Spell
from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.odds.delivery_odds import JobOdds, odds_of
from shopday.planning.odds.distributions import ARRIVAL_DELAY, AWAY_OVERRUN, WORK_OVERRUN, pert
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import JobRow, Plan, PlannedStep, State
from shopday.planning.solving import plan_solver
from shopday.planning.solving.better_plans import offers, worth_it_unasked
from shopday.planning.solving.kept_plan import KeptPlan
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.scheduler import finished, verify
from shopday.shop.models import Rules, Wait

DRAWS = 200
EFFORT = 0.1
HOURS, DAY = "08:00-16:00", 480
STATIONS = '[[stations]]\nid = "bench"\n[[gear]]\nid = "clamps"\ncount = 8\n'
NO_RESERVE = "[rules]\nreserve = false\n" if "reserve" in Rules.model_fields else ""

SPARE, APART = 1.2, 0.7
"""Promised days per day of work of this job and those before it, and per day that passes without any."""


# ------------------------------------------------------------ shops


def made_up(folder: Path, seed: int, reserve: bool = True) -> OpenShop:
    """One maker, in every third shop two, and five to eight jobs of sawing, glueing, finishing, things ordered or
    sent away. There are hours enough: done in the order of their promises, with the usual overruns, they leave some
    to spare. A plan without reserve keeps all promises too, on paper."""
    random, makers = Random(seed), 2 if seed % 3 == 2 else 1
    shop = STATIONS + "".join(f'[[people]]\nid = "maker-{n}"\n' for n in range(makers))
    while True:
        jobs = _jobs(random, makers)
        with tempfile.TemporaryDirectory() as trial:
            if not first_plan(open_shop(Path(trial), jobs, HOURS, shop + NO_RESERVE)).late:
                return open_shop(folder, jobs, HOURS, shop + ("" if reserve else NO_RESERVE))


def first_plan(shop: OpenShop) -> Plan:
    """The plan of a shop in which nothing has happened."""
    return finished(plan_solver.work_out_plan(shop.folder, ShopState(), shop.minute(), EFFORT))


def _jobs(random: Random, makers: int) -> dict[str, str]:
    """Job files by id, the earliest promise first."""
    jobs, busy = {}, 0.0
    for n in range(random.randint(5, 8)):
        lines, work, apart = _steps(random)
        days = work * WORK_OVERRUN.mean / DAY
        busy += days / makers
        day = math.ceil(SPARE * max(busy, days) + APART * apart + random.uniform(0, 1))
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
        apart += days * AWAY_OVERRUN.mean + 0.5
    if random.random() < 0.6:
        coat, chance = random.randrange(20, 60, 10), random.choice([0, 0.2, 0.4])
        dries = f'waits = [{{ name = "dries", takes = "{random.randint(3, 20)}h" }}]'
        lines.append(f"coat {coat}m | passes = 2; another_pass = {chance}; {dries}")
        work, apart = work + 3 * coat, apart + 2
    deliver = random.randrange(30, 180, 15)
    return [*lines, f"deliver {deliver}m"], work + deliver, apart


# ------------------------------------------------------------ following a plan


def kept(shop: OpenShop, state: ShopState, plan: Plan, now: int, changed: bool = True) -> Plan:
    """The plan on the wall, repaired."""
    repairing = plan_solver.repaired_plan(shop.folder, state, now, KeptPlan.of(plan, ""), changed)
    built, result = finished(repairing)
    assert verify(built.problem, result.schedule) == []
    return decode_plan(built, result)


def better(shop: OpenShop, state: ShopState, plan: Plan, now: int) -> Plan:
    """With the first plan of a day, before anything is logged: one that is worth the change, as in the app."""
    plan = kept(shop, state, plan, now, changed=False)
    found = (
        decode_plan(*answer)
        for answer in filter(None, plan_solver.improved_plans(shop.folder, state, now, EFFORT, near=plan))
    )
    *_, (_, offer) = filter(None, offers(plan, found))
    return plan if offer is None or not worth_it_unasked(plan, offer) else offer


class Course:
    """One way in which it may go: what is planned next is done, takes as long as it happens to take, and the plan is
    followed. How long a wait takes shows when it begins; that something is not here, when it is wanted.

    app:   look for a better plan every morning.
    here:  minute at which each thing ordered or sent away comes, as far as that is settled; by address.
    going: minute at which each pass under way is over; what was done of the plan since its last repair is only here.
    """

    def __init__(self, shop: OpenShop, plan: Plan, seed: str, app: bool = False) -> None:
        self.shop, self.plan, self.seed, self.app = copy.copy(shop), plan, seed, app
        self.state, self.now, self.zone = ShopState(), shop.zone.of(plan.now), shop.zone
        hours = encode_problem(shop.folder, self.state, self.now).hours
        self.opened = hours.calendars[hours.open]
        self.day = plan.now.date()
        self.shared = {job: WORK_OVERRUN.draw(self._random(job)) for job in shop.folder.jobs}
        self.here = {row.address: self._arrival(row) for row in plan.steps if row.kind == "arrives"}
        self.going: dict[Key, int] = {}
        self.count: Counter[str] = Counter()
        self.ways: dict[str, int] = {}

    def deliveries(self) -> dict[str, int]:
        """The minute of each job's delivery."""
        while (event := min(self._events(), default=None)) is not None:
            minute = event[0]
            if self.app and (begins := self._day_begins(minute)) is not None:
                self._follow(better(self.shop, self.state, self.plan, begins))
            else:
                self.now = minute
                self._happens(*event)
        ends: dict[str, int] = {}
        for row in self.plan.steps:
            ends[row.job] = max(ends.get(row.job, 0), self.zone.of(row.complete))
        return ends

    def _day_begins(self, minute: int) -> int | None:
        """The minute at which the shop opens on the day of this one, if that has not been yet."""
        day = self.zone.date(minute)
        opens = self.opened.open_from(self.zone.minute(day))
        if day == self.day or opens is None or opens > minute:
            return None
        self.day = day
        return max(opens, self.now)

    def _events(self) -> Iterator[tuple[int, str, Key]]:
        """What may come next: something is here, is finished, or is taken up."""
        for address, at in self.here.items():
            if not self._is_here(address):
                yield max(at, self.now), "arrived", (address, 1)
        for key, over in self.going.items():
            yield over, "finish", key
        for row in self.plan.steps:
            planned = row.state is State.PLANNED and row.kind != "arrives" and row.key not in self.going
            if planned and not self._is_held_up(row):
                yield max(self.zone.of(row.start), self.now), "start", row.key

    def _is_here(self, address: str) -> bool:
        log = self.state.passes.get((address, 1))
        return log is not None and log.finished is not None

    def _is_held_up(self, row: PlannedStep) -> bool:
        """What is under way was to be over before, and is what this one needs."""
        before = {row.address, *(p.address for p in self.shop.expansion.before[row.address])}
        wanted = {*row.people, *row.stations, *row.gear}
        others = [other for key in self.going if (other := self.plan.step(*key)) is not None]
        return any(
            other.address in before
            or (other.end <= row.start and wanted & {*other.people, *other.stations, *other.gear})
            for other in others
        )

    def _happens(self, minute: int, kind: str, key: Key) -> None:
        if kind == "start":
            row = self.plan.step(*key)
            assert row is not None
            if not self._take_up(row):
                return
        elif kind == "finish":
            del self.going[key]
            self.state.passes[key] = replace(self.state.passes[key], finished=minute)
            self._look_at(*key)
        else:
            self.state.passes[key] = replace(self.state.passes.get(key, PassState()), finished=minute)
        self._follow(kept(self.shop, self.state, self.plan, minute))

    def _take_up(self, row: PlannedStep) -> bool:
        """Whether the plan must be looked at anew: to begin as planned changes nothing."""
        missing = {address for address in self.here if not self._is_here(address)}
        wanted = [p.address for p in self.shop.expansion.before[row.address] if p.address in missing]
        step = self.shop.expansion.steps[row.address].step
        if wanted:
            self._expect_tomorrow(wanted)
            return True
        self.state.passes[row.key] = PassState((Spell(self.now, None, row.people),), None, row.people)
        if step.away is not None:
            self.here[row.address] = self.now + round(
                step.away.takes[1] * AWAY_OVERRUN.draw(self._random(row.address))
            )
            return True
        over = self.opened.finish(self.now, max(1, round(self._work(row))))
        assert over is not None
        self.going[row.key] = over
        return False

    def _work(self, row: PlannedStep) -> float:
        """How many minutes it takes."""
        step, random = self.shop.expansion.steps[row.address].step, self._random(*row.key)
        if step.spread is not None:
            return pert(step.spread, step.hands_on).draw(random)
        return step.hands_on * (self.shared[row.job] + WORK_OVERRUN.draw(random)) / 2

    def _look_at(self, address: str, pass_no: int) -> None:
        """What shows when a pass is finished: whether one more is needed, and how long its waits take."""
        step, random = self.shop.expansion.steps[address].step, self._random("after", address, pass_no)
        row = self.plan.step(address, pass_no)
        assert row is not None
        if pass_no == row.passes and random.random() < step.another_pass:
            self.state.extra_passes[address] = self.state.extra_passes.get(address, 0) + 1
        if any(wait.spread for wait in step.waits or ()):
            self._write(address, waits=tuple(_lasting(wait, random) for wait in step.waits or ()))

    def _arrival(self, row: PlannedStep) -> int:
        late = ARRIVAL_DELAY.draw(self._random(row.address))
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

    def _follow(self, plan: Plan) -> None:
        """Count the deliveries that change by a day or more: to later, and the other way than the last time."""
        before, self.plan = self.plan, plan
        for row in plan.jobs:
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


def played(seed: int, courses: int, reserve: bool = True, app: bool = False) -> Counter[str]:
    """What came of so many courses in one shop."""
    count: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        shop = made_up(Path(folder), seed, reserve)
        plan = first_plan(shop)
        *_, odds = filter(None, odds_of(shop, plan, DRAWS))
        for n in range(courses):
            course = Course(shop, plan, f"{seed}/{n}", app)
            ends = course.deliveries()
            count.update({"courses": 1, **course.count})
            for row in plan.jobs:
                count.update(_outcome(row, odds.job(row.job), ends[row.job], shop))
    return count


def _outcome(row: JobRow, odds: JobOdds | None, end: int, shop: OpenShop) -> dict[str, int]:
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
    play = partial(played, courses=args.courses, reserve=not args.no_reserve, app=args.app)
    seeds, whole = range(args.first, args.first + args.shops), Counter[str]()
    with ProcessPoolExecutor(min(args.processes, os.cpu_count() or 1)) as pool:
        for number, count in enumerate(pool.map(play, seeds), 1):
            whole.update(count)
            print(f"{number} shops: {told(whole)}", flush=True)


if __name__ == "__main__":
    main()
