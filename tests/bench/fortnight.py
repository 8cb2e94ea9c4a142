"""A fortnight lived in shops, step by step: does anything move when all goes as planned, and how much when it does not?

By hand, from the repository: python tests/bench/fortnight.py FOLDER [FOLDER ...] [--factor LEAST MOST] [--days N] [--seed N]
[--as app|commands|mixed]. A folder holds a shop and a file now.txt; it is copied. Each start and finish is logged at
its minute; work takes a random multiple of what was foreseen between the factors (1 and 1: all goes as planned).
"""

from __future__ import annotations

import argparse
import datetime as dt
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, PlannedStep, State

DAY = 1440


@dataclass
class Fortnight:
    """One shop; `way` is who logs: the app, which stays open, commands, each of which opens the shop anew, or both."""

    folder: Path
    now: dt.datetime
    random: Random
    factors: tuple[float, float]
    way: str
    effort: float
    count: Counter[str] = field(default_factory=Counter)
    turned: dict[str, int] = field(default_factory=dict)
    over: dict[tuple[str, int], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.shop = OpenShop(self.folder, self.now)
        self.minute = self.shop.minute()
        self.plan = self.shop.plan(self.effort)

    def live(self, days: int) -> None:
        last = self.minute + days * DAY
        while (event := min(self._events(), default=None)) is not None and event[0] <= last:
            minute, kind, address = event
            self._go_to(max(minute, self.minute))
            before = self.plan
            self.shop.log(kind, address)
            self.count["logged"] += 1
            self._compare(before, self._look())

    def _events(self) -> Iterator[tuple[int, str, str]]:
        """What is to be logged next: arrivals, finishes of what is under way, starts of what nothing under way keeps."""
        of = self.shop.zone.of
        going = [step for step in self.plan.steps if step.state is State.UNDER_WAY]
        busy = {person for step in going for person in step.people}
        open_ = {step.address for step in going}
        ahead = {step.address for step in self.plan.steps if step.state is State.PLANNED}
        for step in self.plan.steps:
            waits = {before.address for before in self.shop.expansion.before[step.address]}
            if step.state is State.UNDER_WAY:
                yield self._over(step), "finish", step.address
            elif step.state is State.DONE or open_ & (waits | {step.address}):
                continue
            elif step.kind == "arrives" or (step.kind == "away" and step.state is State.WAITING):
                yield of(step.end), "arrived", step.address
            elif step.state is State.PLANNED and not busy & set(step.people) and not waits & ahead:
                yield of(step.start), "start", step.address

    def _over(self, step: PlannedStep) -> int:
        """When work under way is over: after a multiple of its length, drawn once a step, in open minutes."""
        if step.key not in self.over:
            of = self.shop.zone.of
            built = self.shop._built_at(of(self.plan.now))
            task = built.problem.tasks[built.index[step.key]]
            calendar = built.problem.calendars[task.crews[0].calendar]
            length = calendar.worked(of(step.end)) - calendar.worked(of(step.start))
            over = calendar.finish(of(step.start), max(1, round(length * self.random.uniform(*self.factors))))
            assert over is not None
            self.over[step.key] = over
        return self.over[step.key]

    def _go_to(self, minute: int) -> None:
        self.minute = minute
        if self.way == "commands" or (self.way == "mixed" and self.random.random() < 0.5):
            self.shop = OpenShop(self.folder, self.shop.zone.moment(minute))
        else:
            self.shop._now = minute
            self.shop.refresh()

    def _look(self) -> Plan:
        self.plan = self.shop.plan(self.effort)
        return self.plan

    def _compare(self, before: Plan, after: Plan) -> None:
        today = after.now.date()
        self.count["days' order changed"] += rest_of_day(before, today, after) != rest_of_day(
            after, today, before
        )
        for row in before.jobs:
            other = after.job(row.job)
            if row.delivery is None or other is None or other.delivery is None or row.delivered:
                continue
            moved = other.delivery.timestamp() - row.delivery.timestamp()
            if abs(moved) < 1:
                continue
            way = 1 if moved > 0 else -1
            self.count["deliveries later" if way > 0 else "deliveries sooner"] += 1
            self.count["turned round"] += self.turned.get(row.job, way) != way
            self.turned[row.job] = way


def rest_of_day(plan: Plan, today: dt.date, other: Plan) -> list[tuple[str, int]]:
    """The work of a day still to be begun in both plans, in its order."""
    shared = {s.key for s in other.steps if s.state is State.PLANNED and s.start.date() == today}
    rows = [
        s for s in plan.steps if s.kind == "work" and s.state is State.PLANNED and s.start.date() == today
    ]
    return [s.key for s in sorted(rows, key=lambda s: s.start) if s.key in shared]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--factor", nargs=2, type=float, default=(1.0, 1.0))
    parser.add_argument("--days", type=int, default=14)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--effort", type=float, default=0.5)
    parser.add_argument("--as", dest="way", choices=("app", "commands", "mixed"), default="commands")
    args = parser.parse_args()
    whole: Counter[str] = Counter()
    for source in args.folders:
        with tempfile.TemporaryDirectory() as room:
            folder = Path(shutil.copytree(source, Path(room) / "shop"))
            now = dt.datetime.fromisoformat((source / "now.txt").read_text().strip())
            lived = Fortnight(folder, now, Random(args.seed), tuple(args.factor), args.way, args.effort)
            lived.live(args.days)
            print(source.name, dict(lived.count), flush=True)
            whole.update(lived.count)
    print("all", dict(whole))


if __name__ == "__main__":
    main()
