"""Courses of events in made-up shops, played through step by step, and how often the dates told beforehand held.

By hand, from the repository: python tests/odds/courses.py [SHOPS] [COURSES] [SEED] [app], the last to search on
after each step as the app does.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter, deque
from pathlib import Path
from random import Random

from chance_shops import steps, workshop

from shopday.journal.state import PassState, ShopState, Spell
from shopday.planning import asking
from shopday.planning.build import build
from shopday.planning.following import harmless
from shopday.planning.odds import JobOdds, odds_of
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.read import read
from shopday.planning.workshop import Workshop
from shopday.schedule.solve import first
from shopday.schedule.verify import verify

DRAWS = 100
EFFORT, RESCUE = 0.05, 0.01
HOURS = "08:00-16:00"
STATIONS = '[[stations]]\nid = "bench"\n[[gear]]\nid = "clamps"\ncount = 8\n'
RUNS_OVER = (1.0, 1.3, 1.6)


def made_up(folder: Path, seed: int) -> Workshop:
    """One maker and three to five jobs of sawing, glueing and finishing, most of them promised."""
    random = Random(seed)
    jobs = {}
    for n in range(random.randint(3, 5)):
        promise = f"promise = 2026-03-{random.randint(4, 20):02}\n" if random.random() < 0.8 else ""
        weight = f"weight = {random.choice([1, 1, 2, 4])}\n"
        jobs[f"job-{n}"] = promise + weight + steps(*_steps(random))
    return workshop(folder, jobs, HOURS, STATIONS)


def _steps(random: Random) -> list[str]:
    saw = random.randrange(60, 360, 15)
    spread = f'spread = ["{saw * 2 // 3}m", "{saw * 2}m"]' if random.random() < 0.5 else ""
    lines = [f"saw {saw}m | {spread}"]
    if random.random() < 0.7:
        kept = f'gear = {{ clamps = {random.randint(3, 8)} }}; waits = [{{ name = "in clamps", takes = "{random.randint(2, 14)}h", keeps = "all" }}]'
        lines.append(f'glue {random.randrange(30, 90, 15)}m | stations = ["bench"]; {kept}')
    if random.random() < 0.6:
        chance = random.choice([0, 0.2, 0.4])
        lines.append(
            f'coat {random.randrange(20, 60, 10)}m | passes = 2; another_pass = {chance}; waits = [{{ name = "dries", takes = "{random.randint(3, 20)}h" }}]'
        )
    lines.append(f"deliver {random.randrange(30, 180, 15)}m")
    return lines


# ------------------------------------------------------------ one course


class Course:
    """What is planned next is done, takes as long as it happens to take, and all is planned anew in the order of the
    plan before; only where promises slip is another order looked for, or always and with the app's rule."""

    def __init__(self, shop: Workshop, plan: Plan, random: Random, app: bool = False) -> None:
        self.shop, self.plan, self.random, self.app = shop, plan, random, app
        self.state = ShopState()
        self.shared = {job: self._pert(*RUNS_OVER) for job in shop.folder.jobs}

    def deliveries(self) -> dict[str, int]:
        """The minute of each job's delivery."""
        while (step := self._next()) is not None:
            self.plan = self._followed(self._do(step))
        return {
            row.job: max(self.shop.zone.of(step.complete) for step in self.plan.steps if step.job == row.job)
            for row in self.plan.jobs
        }

    def _followed(self, now: int) -> Plan:
        built = build(self.shop.folder, self.state, now)
        order = [built.index[key] for key in self.plan.order if key in built.index]
        result = first(built.problem, order)
        assert verify(built.problem, result.schedule) == []
        after = read(built, result)
        if self.app:
            found = (
                read(*answer) for answer in asking.answers(self.shop.folder, self.state, now, EFFORT, after)
            )
            return deque(harmless(after, found, after.late > self.plan.late), maxlen=1).pop()
        if after.late > self.plan.late:
            other = asking.plan(self.shop.folder, self.state, now, RESCUE, near=after)
            return other if other.late < after.late else after
        return after

    def _next(self) -> PlannedStep | None:
        planned = (step for step in self.plan.steps if step.state is State.PLANNED)
        return min(planned, key=lambda step: step.start, default=None)

    def _do(self, row: PlannedStep) -> int:
        """Log it as it went; the minute at which it was over."""
        built = build(self.shop.folder, self.state, self.shop.zone.of(self.plan.now))
        p, start = built.passes[built.index[row.key]], self.shop.zone.of(row.start)
        if p.step.spread is not None:
            least, most = p.step.spread
            work = self._pert(least, p.step.hands_on, most)
        else:
            work = p.base * (self.shared[row.job] + self._pert(*RUNS_OVER)) / 2
        calendar = built.hours.calendars[built.hours.open]
        over = calendar.finish(start, max(1, round(work)))
        assert over is not None
        self.state.passes[row.key] = PassState((Spell(start, None, row.people),), over, row.people)
        if row.pass_no == row.passes and self.random.random() < p.step.another_pass:
            extra = self.state.extra_passes
            extra[row.address] = extra.get(row.address, 0) + 1
        return over

    def _pert(self, least: float, likely: float, most: float) -> float:
        """The beta distribution of PERT, as a ratio of gamma variables."""
        mean = (4 * likely - 5 * least + most) / 6 / (most - least)
        size = 36 * mean * (1 - mean) - 1
        x, y = (self.random.gammavariate(size * part, 1) for part in (mean, 1 - mean))
        return least + (most - least) * x / (x + y)


# ------------------------------------------------------------ many


def held(shop: Workshop, seed: int, courses: int, app: bool = False) -> Counter[str]:
    """How many deliveries there were, and how many by the dates that were to hold with 50, 80 and 95 %."""
    plan = shop.plan(EFFORT)
    *_, odds = odds_of(shop, plan, DRAWS)
    count: Counter[str] = Counter()
    for n in range(courses):
        ends = Course(shop, plan, Random(f"course {seed}/{n}"), app).deliveries()
        for row in odds.jobs:
            count.update(_kept(row, shop, ends[row.job]))
    return count


def _kept(row: JobOdds, shop: Workshop, end: int) -> dict[str, int]:
    dates = {"p50": row.p50, "p80": row.p80, "p95": row.p95}
    by = {name: int(date is not None and end <= shop.zone.of(date)) for name, date in dates.items()}
    return {"deliveries": 1, **by}


def main(shops: str = "17", courses: str = "6", first: str = "0", as_in: str = "") -> None:
    whole: Counter[str] = Counter()
    for seed in range(int(first), int(first) + int(shops)):
        with tempfile.TemporaryDirectory() as folder:
            whole.update(held(made_up(Path(folder), seed), seed, int(courses), as_in == "app"))
        told = ", ".join(f"{name} {whole[name] / whole['deliveries']:.1%}" for name in ("p50", "p80", "p95"))
        print(f"{seed - int(first) + 1} shops, {whole['deliveries']} deliveries: {told}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
