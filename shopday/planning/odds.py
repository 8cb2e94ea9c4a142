"""What date holds: the plan drawn many times over, as it might turn out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import TYPE_CHECKING

from shopday.journal.state import ShopState
from shopday.planning.drawing import Draw, Drawing
from shopday.planning.hours import Zone
from shopday.planning.learning import history
from shopday.planning.plan import JobRow, Moment, Plan
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop

DRAWS = 500
QUOTE_DRAWS = 200
"""A quote is waited for, so it makes do with fewer."""
FIRST, EVERY = 15, 50
"""Rough figures come after the first few draws, and then every so many."""
MOST_RISKS = 3
LEAST_SHARE = 0.05
"""A step with a smaller share of the risk is not worth naming."""


@dataclass(frozen=True, slots=True)
class Risk:
    """A step whose uncertainty moves the delivery; `share` of the delivery's variance (0 to 1)."""

    address: str
    share: float


@dataclass(frozen=True, slots=True)
class JobOdds:
    """Deliveries that hold with 50, 80 and 95 % (None: not within what can be seen ahead).

    promise: the chance that the promise is kept (None: there is none); risks: the largest first.
    """

    job: str
    title: str
    p50: Moment | None
    p80: Moment | None
    p95: Moment | None
    promise: float | None
    risks: tuple[Risk, ...] = ()


@dataclass(frozen=True, slots=True)
class Odds:
    """After so many `draws` of those asked for (`of`)."""

    draws: int
    of: int
    jobs: tuple[JobOdds, ...]

    def job(self, job: str) -> JobOdds | None:
        return next((row for row in self.jobs if row.job == job), None)

    @property
    def done(self) -> bool:
        return self.draws >= self.of


def odds_of(
    workshop: Workshop, plan: Plan, draws: int = DRAWS, every: int = EVERY, seed: int = 0
) -> Iterator[Odds]:
    """The odds of the shop as it is."""
    now = workshop.zone.of(plan.now)
    return odds(workshop.folder, workshop.state(), now, plan, draws, every, seed)


def odds_of_quote(
    workshop: Workshop, job_id: str, job: Job, plan: Plan, draws: int = QUOTE_DRAWS, every: int = EVERY
) -> Iterator[Odds]:
    """The odds of the shop with the asked job among the others, whose joint plan is `plan`."""
    asked = job.model_copy(update={"status": "live"})
    folder = replace(workshop.folder, jobs={**workshop.folder.jobs, job_id: asked})
    return odds(folder, workshop.state(), workshop.zone.of(plan.now), plan, draws, every)


def odds(
    folder: ShopFolder,
    state: ShopState,
    now: int,
    plan: Plan,
    draws: int = DRAWS,
    every: int = EVERY,
    seed: int = 0,
) -> Iterator[Odds]:
    """Rough figures soon and then every so many draws, the last with all of them. The same call always yields
    the same."""
    drawing = Drawing(folder, state, plan, now, history(folder, state, now))
    random = Random(seed)
    zone = Zone(folder.shop.timezone)
    made: list[Draw] = []
    while len(made) < draws:
        made.append(drawing.draw(random))
        if len(made) in (FIRST, draws) or len(made) % every == 0:
            yield Odds(len(made), draws, tuple(_rows(drawing, plan, made, zone)))


def _rows(drawing: Drawing, plan: Plan, made: list[Draw], zone: Zone) -> Iterator[JobOdds]:
    for row in plan.jobs:
        if row.delivery is not None and not row.delivered:
            n = drawing.built.jobs.index(row.job)
            yield _job(row, [draw.deliveries[n] for draw in made], drawing.problem.jobs[n].due, made, zone)


def _job(
    row: JobRow, deliveries: Sequence[int | None], due: int | None, made: list[Draw], zone: Zone
) -> JobOdds:
    known = sorted(math.inf if delivery is None else delivery for delivery in deliveries)
    kept = sum(delivery <= due for delivery in known) if due is not None else 0

    def at(share: float) -> Moment | None:
        minute = quantile(known, share)
        if minute == math.inf:
            return None
        moment = zone.moment(int(minute))
        return moment if row.floor is None else max(moment, row.floor)

    return JobOdds(
        job=row.job,
        title=row.title,
        p50=at(0.5),
        p80=at(0.8),
        p95=at(0.95),
        promise=None if due is None else kept / len(known),
        risks=_risks(row.job, deliveries, made),
    )


def quantile(ascending: Sequence[float], share: float) -> float:
    """The least of the values that at least this share of them does not exceed."""
    return ascending[max(0, math.ceil(share * len(ascending) - 1e-9) - 1)]


def _risks(job: str, deliveries: Sequence[int | None], made: list[Draw]) -> tuple[Risk, ...]:
    """Steps of any job by their covariance with this job's delivery."""
    pairs = [(d, draw) for d, draw in zip(deliveries, made, strict=True) if d is not None]
    if len(pairs) < 2:
        return ()
    mean = sum(d for d, _ in pairs) / len(pairs)
    off = [d - mean for d, _ in pairs]
    whole = sum(x * x for x in off)
    if not whole:
        return ()
    shares: dict[str, float] = {}
    for x, (_, draw) in zip(off, pairs, strict=True):
        for address, own in draw.own.items():
            shares[address] = shares.get(address, 0.0) + x * own
    noise = 2 / math.sqrt(len(pairs))
    found = [Risk(a, min(1.0, s / whole)) for a, s in shares.items() if s / whole >= LEAST_SHARE]
    real = [risk for risk in found if _own_correlation(risk.address, off, whole, pairs) > noise]
    return tuple(sorted(real, key=lambda risk: -risk.share)[:MOST_RISKS])


def _own_correlation(
    address: str, off: Sequence[float], whole: float, pairs: Sequence[tuple[int, Draw]]
) -> float:
    """Correlation of a step's own part with the delivery, so that chance alone is not named as a risk."""
    own = [draw.own.get(address, 0.0) for _, draw in pairs]
    mean = sum(own) / len(own)
    spread = sum((x - mean) ** 2 for x in own)
    return sum(x * (y - mean) for x, y in zip(off, own, strict=True)) / math.sqrt(spread * whole or 1.0)
