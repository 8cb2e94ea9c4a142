"""Hours and costs of jobs: work at a rate, materials by amount and price, estimated and actual."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from shopday.journal.state import ShopState
from shopday.planning.encoding.actual_times import actual_minutes, hours_so_far
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.shop.folder import ShopFolder
from shopday.shop.materials.mixing import mixes
from shopday.shop.models import Shop, Step
from shopday.shop.step_graph import expand


@dataclass(frozen=True, slots=True)
class Outlay:
    """Minutes of work, counted per person, and money in the shop's currency; 0 if there is no price.

    bought: timber, hardware, work outside.
    """

    minutes: int = 0
    work: float = 0.0
    materials: float = 0.0
    bought: float = 0.0

    @property
    def total(self) -> float:
        return self.work + self.materials + self.bought

    def __add__(self, other: Outlay) -> Outlay:
        return Outlay(
            self.minutes + other.minutes,
            self.work + other.work,
            self.materials + other.materials,
            self.bought + other.bought,
        )


@dataclass(frozen=True, slots=True)
class StepCosts:
    """The costs of one step, over all its passes.

    estimate:  as written.
    actual:    so far.
    over:      nothing of it is left to do.
    unpriced:  names of what it uses that has no price.
    unclocked: passes finished without a logged start; how long they took is not known, and not in `actual`.
    """

    address: str
    name: str
    estimate: Outlay
    actual: Outlay
    over: bool
    unpriced: tuple[str, ...] = ()
    unclocked: int = 0


@dataclass(frozen=True, slots=True)
class JobCosts:
    """The costs of a job, by step in the order of work. currency: the shop's word for it, or ""."""

    job: str
    title: str
    steps: tuple[StepCosts, ...]
    currency: str = ""

    @property
    def estimate(self) -> Outlay:
        return sum((step.estimate for step in self.steps), Outlay())

    @property
    def actual(self) -> Outlay:
        return sum((step.actual for step in self.steps), Outlay())

    @property
    def over(self) -> bool:
        return all(step.over for step in self.steps)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """The names of what has no price in this job, each once."""
        return tuple(dict.fromkeys(name for step in self.steps for name in step.unpriced))


def job_costs(folder: ShopFolder, state: ShopState, now: int) -> dict[str, JobCosts]:
    """The costs of every job in the folder, by id, whatever its status. now: minutes since the epoch."""
    every = folder.all_live()
    passes = passes_of(every, expand(every), state)
    reader = _Reader(folder, passes, now)
    found: dict[str, list[StepCosts]] = {id: [] for id in folder.jobs}
    for _, group in groupby(passes, key=lambda p: p.address):
        own = list(group)
        found[own[0].ref.job].append(reader.step(own))
    currency = folder.shop.prices.currency
    return {
        id: JobCosts(id, folder.jobs[id].title or id, tuple(steps), currency) for id, steps in found.items()
    }


class _Reader:
    def __init__(self, folder: ShopFolder, passes: tuple[Pass, ...], now: int) -> None:
        self.folder, self.shop = folder, folder.shop
        self.hours = hours_so_far(folder.shop, passes, now)
        self.taken = actual_minutes(passes, self.hours, now)

    def step(self, passes: list[Pass]) -> StepCosts:
        step = passes[0].step
        over = passes[-1].finished
        used = sum(not p.skipped and (p.finished or p.begun) for p in passes)
        here = over and not all(p.skipped for p in passes)
        foreseen = sum(p.base for p in passes[: step.passes]) * step.hands
        return StepCosts(
            passes[0].address,
            step.label,
            estimate=Outlay(
                foreseen,
                foreseen / 60 * (self.shop.prices.hour or 0),
                self._materials(step, step.passes),
                step.costs or 0,
            ),
            actual=_sum(self._work(p) for p in passes)
            + Outlay(materials=self._materials(step, used), bought=(step.costs or 0) if here else 0),
            over=over,
            unpriced=tuple(self._unpriced(step)),
            unclocked=sum(p.unclocked for p in passes),
        )

    def _work(self, p: Pass) -> Outlay:
        """The minutes worked on a pass, each person's at their own rate."""
        people = (p.log.people if p.log is not None else ()) or ("",) * p.step.hands
        each = self._minutes(p)
        return _sum(Outlay(each, each / 60 * _rate(self.shop, person)) for person in people)

    def _minutes(self, p: Pass) -> int:
        return self.taken.get(p.key, 0) if p.begun and not p.skipped else 0

    def _materials(self, step: Step, passes: int) -> float:
        price = self.shop.prices.litre.get(step.material or "", 0)
        return sum(mix.millilitres / 1000 * price for mix in mixes([(step, passes)], self.folder.materials))

    def _unpriced(self, step: Step) -> Iterator[str]:
        prices, material = self.shop.prices, self.folder.materials.get(step.material or "")
        if step.hands_on and prices.hour is None:
            yield "an hour of work"
        if step.amount_ml and material is not None and material.id not in prices.litre:
            yield material.name or material.id


def _rate(shop: Shop, id: str) -> float:
    own = next((person.rate for person in shop.people if person.id == id), None)
    return (shop.prices.hour or 0) if own is None else own


def _sum(outlays: Iterable[Outlay]) -> Outlay:
    return sum(outlays, Outlay())
