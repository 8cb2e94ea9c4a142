"""Which dates hold: the plan simulated many times, as it might turn out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from operator import mul
from typing import TYPE_CHECKING

from shopday.journal.state import ShopState
from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.open_hours import Zone
from shopday.planning.lessons.learned_lessons import history
from shopday.planning.odds.parallel_simulation import simulate_in_parallel as all_draws
from shopday.planning.odds.simulation import SimulatedCourse, Simulation
from shopday.planning.plan import JobRow, Moment, Plan
from shopday.planning.step_names import of_job
from shopday.scheduler import Steps
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

DRAWS = 500
"""The same everywhere, so that a plan has the same odds wherever they are shown."""
FIRST, EVERY = 5, 50
"""Rough figures come after the first FIRST draws, then after every EVERY draws."""
MOST_RISKS = 3
LEAST_SHARE = 0.05
"""Steps with a smaller share of the risk are not named."""
CHANCE_CORRELATION = 3
"""Correlations below this number over the root of the number of draws may be chance, and are not named."""

OwnParts = Mapping[str, Sequence[float]]
"""By address of a step: its own part of each draw, in minutes."""


@dataclass(frozen=True, slots=True)
class Risk:
    """A step whose uncertainty moves a delivery.

    share: the share of the delivery's variance that it explains (0 to 1): the squared correlation. A quarter of an
           hour that costs a week, because the van goes on Thursdays, counts as a week.
    name:  the step in words, with its job if that is another one.
    """

    address: str
    share: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class JobOdds:
    """The odds of one job.

    p50, p80, p95: deliveries that hold with 50, 80 and 95 % (None: beyond the calendars); p95 is never before the
                   planned delivery.
    promise:       the chance that the promise is kept (None: there is none).
    risks:         the largest first.
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
    """The odds after `draws` of `of` draws."""

    draws: int
    of: int
    jobs: tuple[JobOdds, ...]

    def job(self, job: str) -> JobOdds | None:
        return next((row for row in self.jobs if row.job == job), None)

    @property
    def done(self) -> bool:
        return self.draws >= self.of


def odds_of(
    open_shop: OpenShop, plan: Plan, draws: int = DRAWS, every: int = EVERY, seed: int = 0
) -> Iterator[Odds | None]:
    """The odds of the shop as it is; see `delivery_odds`."""
    now = open_shop.zone.of(plan.now)
    return delivery_odds(open_shop.folder, open_shop.state(), now, plan, draws, every, seed)


def odds_of_quote(
    open_shop: OpenShop,
    job_id: str,
    job: Job,
    plan: Plan,
    draws: int = DRAWS,
    every: int = EVERY,
    seed: int = 0,
) -> Iterator[Odds | None]:
    """The odds of the shop with the quoted job among the others; `plan` is their joint plan."""
    asked = job.model_copy(update={"status": "live"})
    folder = open_shop.folder.with_job(job_id, asked)
    return delivery_odds(folder, open_shop.state(), open_shop.zone.of(plan.now), plan, draws, every, seed)


def delivery_odds(
    folder: ShopFolder,
    state: ShopState,
    now: int,
    plan: Plan,
    draws: int = DRAWS,
    every: int = EVERY,
    seed: int = 0,
) -> Iterator[Odds | None]:
    """Yield rough odds soon, then better ones every so many draws, and last those of all draws; None between them is
    a heartbeat. The same call always yields the same."""
    drawing = yield from Simulation.of(folder, state, plan, now, history(folder, state, now))
    zone = Zone(folder.shop.timezone)
    made: list[SimulatedCourse] = []
    for draw in all_draws(drawing, seed, draws):
        if draw is None:
            yield None
            continue
        made.append(draw)
        told = len(made) in (FIRST, draws) or len(made) % every == 0
        if told:
            rows = yield from _rows(drawing, plan, made, zone)
            yield Odds(len(made), draws, tuple(rows))
        else:
            yield None


def _rows(drawing: Simulation, plan: Plan, made: list[SimulatedCourse], zone: Zone) -> Steps[list[JobOdds]]:
    own = _own_parts(made)
    rows = []
    for row in plan.jobs:
        if row.delivery is not None and not row.delivered:
            n = drawing.built.jobs.index(row.job)
            deliveries = [draw.deliveries[n] for draw in made]
            risks = tuple(_named(risk, drawing.built, row.job) for risk in _risks(deliveries, own))
            rows.append(_job(row, deliveries, drawing.problem.jobs[n].due, risks, zone))
            yield
    return rows


def _job(
    row: JobRow, deliveries: Sequence[int | None], due: int | None, risks: tuple[Risk, ...], zone: Zone
) -> JobOdds:
    known = sorted(math.inf if delivery is None else delivery for delivery in deliveries)
    kept = sum(delivery <= due for delivery in known) if due is not None else 0

    def at(share: float, least: Moment | None = row.floor) -> Moment | None:
        minute = quantile(known, share)
        if minute == math.inf:
            return None
        moment = zone.moment(int(minute))
        return moment if least is None else max(moment, least)

    return JobOdds(
        job=row.job,
        title=row.title,
        p50=at(0.5),
        p80=at(0.8),
        p95=at(0.95, row.delivery),
        promise=None if due is None else kept / len(known),
        risks=risks,
    )


def quantile(ascending: Sequence[float], share: float) -> float:
    """The least of the values drawn that a further draw will not exceed with at least this chance. Of N values the
    k-th has k/(N+1) on average, whatever the distribution (Wilks 1941); the largest value if N is too small."""
    place = math.ceil(share * (len(ascending) + 1) - 1e-9)
    return ascending[min(len(ascending), max(1, place)) - 1]


def _own_parts(made: Sequence[SimulatedCourse]) -> OwnParts:
    addresses = dict.fromkeys(address for draw in made for address in draw.own)
    return {address: [draw.own.get(address, 0.0) for draw in made] for address in addresses}


def _risks(deliveries: Sequence[int | None], own: OwnParts) -> tuple[Risk, ...]:
    """The steps, of any job, that this job's delivery follows most, by the square of their correlation."""
    known = [delivery for delivery in deliveries if delivery is not None]
    mean = sum(known) / max(1, len(known))
    off = [0.0 if delivery is None else delivery - mean for delivery in deliveries]
    least = max(math.sqrt(LEAST_SHARE), CHANCE_CORRELATION / math.sqrt(max(1, len(known))))
    follows = {address: _correlation(off, parts) for address, parts in own.items()}
    found = [Risk(address, min(1.0, r * r)) for address, r in follows.items() if r >= least]
    return tuple(sorted(found, key=lambda risk: -risk.share)[:MOST_RISKS])


def _named(risk: Risk, built: EncodedProblem, job: str) -> Risk:
    return replace(risk, name=of_job(built.folder, built.expansion.steps[risk.address], job))


def _correlation(off: Sequence[float], values: Sequence[float]) -> float:
    """The correlation of deviations from a mean with values."""
    mean = sum(values) / len(values)
    around = [value - mean for value in values]
    spread = sum(map(mul, off, off)) * sum(map(mul, around, around))
    return sum(map(mul, off, around)) / math.sqrt(spread) if spread > 0 else 0.0
