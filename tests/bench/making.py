"""Shops made up from a seed, as scheduling problems: jobs of parts that are sawn, glued, sanded and oiled."""

from __future__ import annotations

from random import Random
from typing import Any

from shopday.scheduler import (
    COMPLETE,
    Calendar,
    Crew,
    Delivery,
    Lag,
    Phase,
    Problem,
    Task,
    Window,
    spans_overlap,
)

DAY = 1440
NOW = 20_000 * DAY + 480
MAKER, SECOND, HELPER, SAW, BENCH, CRAMPS, RACK = range(7)
ALWAYS, SHOP, HELP, QUIET = range(4)


def made_shop(seed: int, steps: int) -> Problem:
    """About so many steps, a job for every twelve; one maker, or two in every third shop."""
    return _Maker(Random(seed), steps, makers=2 if seed % 3 == 2 else 1).problem()


def small_shop(seed: int) -> Problem:
    """Eight to twelve steps in jobs of about five, often with help, promised for the first days."""
    maker = _Maker(Random(seed), 8 + seed % 5, makers=2 if seed % 3 == 2 else 1)
    maker.each, maker.helped, maker.soonest, maker.days = 5, 0.7, 0, 3
    return maker.problem()


class _Maker:
    """each: steps of a job; helped: share of jobs that take two to assemble; soonest, days: of what is promised."""

    def __init__(self, random: Random, steps: int, makers: int) -> None:
        self.random, self.steps, self.makers = random, steps, makers
        self.each, self.helped, self.soonest = 12, 0.2, 3
        self.days = 2 + (steps * 100 // (480 * makers) + 4) * 7 // 5
        self.tasks: list[Task] = []
        self.job = 0

    def problem(self) -> Problem:
        days = 20 + self.steps
        while len(self.tasks) < self.steps:
            self.make_job(min(self.each, self.steps - len(self.tasks)))
            self.job += 1
        shop = self.hours(days, ((480, 720), (765, 1020)), closed=(5, 6))
        helper = self.hours(days, ((540, 780),), closed=(0, 1, 3, 4, 6))
        quiet = self.hours(days, ((510, 1140),), closed=())
        return Problem(
            now=NOW,
            jobs=tuple(self.promise(k) for k in range(self.job)),
            tasks=tuple(self.tasks),
            capacities=(1, 1, 1, 1, 2, 8, 2),
            calendars=(
                Calendar.always(),
                shop,
                Calendar(spans_overlap(shop.spans, helper.spans)),
                Calendar(spans_overlap(shop.spans, quiet.spans)),
            ),
            release_calendar=SHOP,
            dust_minutes=45,
        )

    def hours(self, days: int, spans: tuple[tuple[int, int], ...], closed: tuple[int, ...]) -> Calendar:
        midnight = NOW - 480
        opened = [d for d in range(-3, days) if d % 7 not in closed]
        return Calendar.of(
            [(midnight + d * DAY + a, midnight + d * DAY + b) for d in opened for a, b in spans]
        )

    def promise(self, job: int) -> Delivery:
        day = self.random.randint(self.soonest, self.soonest + self.days - 1)
        due = None if self.random.random() < 0.2 else NOW - 480 + day * DAY
        return Delivery(weight=self.random.choice([1, 1, 1, 2, 3]), due=due)

    def crews(self, calendar: int = SHOP) -> tuple[Crew, ...]:
        return tuple(Crew((person,), calendar) for person in (MAKER, SECOND)[: self.makers])

    def pair(self) -> tuple[Crew, ...]:
        return tuple(Crew((person, HELPER), HELP) for person in (MAKER, SECOND)[: self.makers])

    # ------------------------------------------------------------ jobs of parts

    def make_job(self, steps: int) -> None:
        ends, first = [], len(self.tasks)
        while len(self.tasks) < first + steps:
            self.part(first + steps)
            ends.append(len(self.tasks) - 1)
        if len(ends) > 1:
            crews = self.pair() if self.random.random() < self.helped else self.crews()
            lags = tuple(Lag(i) for i in ends)
            self.add(self.minutes(60, 180), crews=crews, lags=lags, chained=False)

    def part(self, last: int) -> None:
        kinds = [self.saw, self.glue, self.sand, self.oil]
        for k, kind in enumerate(kinds[self.random.randint(0, 1) :]):
            if len(self.tasks) < last:
                kind(k > 0)

    def minutes(self, low: int, high: int) -> int:
        return self.random.randrange(low, high + 1, 5)

    def add(self, work: int, chained: bool, crews: tuple[Crew, ...] | None = None, **fields: Any) -> None:
        if chained:
            fields["lags"] = (Lag(len(self.tasks) - 1, COMPLETE),)
        who = self.crews() if crews is None else crews
        given = {"stretch": min(work, 20)} | fields
        self.tasks.append(Task(self.job, work=work, crews=who, **given))

    def saw(self, chained: bool) -> None:
        self.add(self.minutes(45, 180), chained, self.crews(QUIET), uses=((SAW, 1),), dusty=True)

    def glue(self, chained: bool) -> None:
        phases = (Phase(self.minutes(60, 300), keeps=(CRAMPS,)), Phase(self.minutes(0, 1200)))
        uses = ((BENCH, 1), (CRAMPS, self.random.randint(2, 6)))
        fields: dict[str, Any] = {}
        if chained and self.random.random() < 0.4:
            fields = {"windows": (Window((Lag(len(self.tasks) - 1),), 1440),), "adds": 30}
        self.add(self.minutes(20, 60), chained, uses=uses, phases=phases, unbroken=True, **fields)

    def sand(self, chained: bool) -> None:
        self.add(self.minutes(30, 150), chained, uses=((BENCH, 1),), dusty=True)

    def oil(self, chained: bool) -> None:
        """Put on, wiped off within minutes, dried in still air on the rack."""
        self.add(self.minutes(10, 25), chained, unbroken=True, phases=(Phase(self.minutes(10, 20)),))
        window = (Window((Lag(len(self.tasks) - 1),), self.minutes(10, 30)),)
        dries = (Phase(self.minutes(120, 480), keeps=(RACK,), needs_still_air=True), Phase(600))
        self.add(self.minutes(10, 20), True, windows=window, unbroken=True, uses=((RACK, 1),), phases=dries)
