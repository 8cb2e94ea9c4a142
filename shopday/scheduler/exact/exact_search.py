"""The exact search: rounds that free more and more jobs of a known schedule, and proofs that no schedule is better."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_model import ExactModel, Solution, Values
from shopday.scheduler.exact.neighbourhoods import Neighbourhoods
from shopday.scheduler.exact.rounds import STEPS, Rounds
from shopday.scheduler.exact.schedule_reading import ScheduleReader, Starts
from shopday.scheduler.exact.scoping import Scoper
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.prepared_problem import PreparedProblem

SEARCH_TIME = 2.0
"""Deterministic time of a search of effort 1: about eight seconds on a slow core."""

ROUND_TIME = 0.25
"""Deterministic time of a round, at effort 1."""

FLOOR_TIME = 0.1
"""Deterministic time for the earliest delivery of one job, at effort 1."""

REBUILD_AFTER = 6
"""Better schedules after which the model is built again, with tighter limits."""

PROOF = 0.5
"""The share of the time that is kept for a proof, if the rounds do not lead to it."""

SMALL_PROBLEM = 60
"""With fewer free tasks than this the whole problem is tried at once."""


class ExactSearch:
    """One search from one result. The same calls always yield the same results.

    effort: what may be spent, as a multiple of SEARCH_TIME.
    best:   the best result so far.
    left:   deterministic time that may still be spent.
    """

    def __init__(self, problem: Problem, result: Result, effort: float, seed: int = 0) -> None:
        self.problem, self.best, self.seed = problem, result, seed
        self.units = self.left = effort * SEARCH_TIME
        builder = Builder(PreparedProblem(problem).refusing(result.schedule.unplaced))
        self.reader = ScheduleReader(builder)
        self.scoper = Scoper(builder, result)
        self.better = 0
        self.rounds: Rounds | None = None
        tasks_of: dict[int, list[int]] = {}
        for i in self.scoper.free:
            tasks_of.setdefault(problem.tasks[i].job, []).append(i)
        self.neighbourhoods = Neighbourhoods(tasks_of, seed)

    def take(self, theirs: Result) -> None:
        """Continue from a schedule found elsewhere, if it is better; known bounds remain."""
        if theirs.aim < self.best.aim and theirs.schedule.unplaced == self.best.schedule.unplaced:
            self._accept(theirs)

    def _accept(self, found: Result) -> None:
        self.best = found.knowing(self.best)
        if self.rounds is not None:
            self.rounds = None if self.better >= REBUILD_AFTER else self._with_best(self.rounds.model)

    # ------------------------------------------------------------ the course of it

    def run(self) -> Iterator[Result | None]:
        """Yield every schedule that is better than all before, or whose bounds are; None after a round without either.

        Raises Declined if the problem is too large or has a rule that the model lacks.
        """
        if not self.scoper.free or not self.scoper.jobs:
            return
        yield from self._floors()
        small = len(self.scoper.free) < SMALL_PROBLEM
        share = ROUND_TIME
        while self.left > 0 and not self.best.optimal:
            if small or self.neighbourhoods.whole or self.left < PROOF * self.units:
                yield from self._prove(share)
                share *= 2
                small = self.neighbourhoods.whole
            else:
                yield self._round()

    def _spend(self, solution: Solution) -> Solution:
        self.left -= solution.spent + 0.01
        return solution

    def _model(self) -> Rounds:
        """The model of all jobs with the best schedule in it."""
        if self.rounds is None:
            self.better = 0
            self.rounds = self._with_best(ExactModel(self.scoper.search(self.best)))
        return self.rounds

    def _with_best(self, model: ExactModel) -> Rounds:
        return Rounds(model, model.values_of(Starts.of(self.best, model.scope.free)), self.best)

    def _round(self) -> Result | None:
        rounds = self._model()
        starts = {i: place.start for i in self.scoper.free if (place := self.best.schedule.placed[i])}
        free, whole_jobs = self.neighbourhoods.next(starts, self._gains())
        self.seed += 1
        solution = self._spend(rounds.free(free, ROUND_TIME, self.seed))
        better = self._read(rounds, solution.values)
        if whole_jobs:
            self.neighbourhoods.learn(solution.proven, solution.spent / ROUND_TIME, better is not None)
        return better

    def _gains(self) -> dict[int, int]:
        """By job: how much dearer its delivery is than the earliest conceivable one."""
        now, cost, floors = self.problem.now, self.reader.builder.costs.job_cost, self.scoper.floors
        deliveries = self.scoper.deliveries(self.best)
        return {j: cost(j, now + d)[0] - cost(j, now + floors[j])[0] for j, d in deliveries.items()}

    def _read(self, rounds: Rounds, values: Values | None) -> Result | None:
        """The result of a solution of the whole model, if it is better."""
        if values is None:
            return None
        found = self.reader.result(rounds.model.starts(values), self.best)
        if found is None:
            raise Declined("a schedule of the exact model breaks a rule")
        if found.aim >= self.best.aim:
            return None
        self.better += 1
        self._accept(found)
        return self.best

    # ------------------------------------------------------------ bounds

    def _floors(self) -> Iterator[Result | None]:
        """Bound the delivery of each job without the others, which tightens every limit."""
        for job in self.scoper.jobs:
            scope = self.scoper.single(self.best, job)
            if scope.free and self.left > 0:
                rounds = self._with_best(ExactModel(scope))
                weight, delivery = self.problem.jobs[job].weight, self.scoper.deliveries(self.best)[job]
                solution = self._spend(rounds.least(rounds.model.finish, weight * delivery, FLOOR_TIME))
                floor = -(-solution.bound // weight)
                self.scoper.floors[job] = max(self.scoper.floors[job], floor)
                yield None
        floors = list(self.best.floors)
        for job, floor in self.scoper.floors.items():
            if job < len(floors):
                floors[job] = floor + self.problem.now
        self.best = self.best._replace(floors=tuple(floors))
        totals = (
            self.reader.builder.costs.job_totals(j, self.problem.now + d)
            for j, d in self.scoper.floors.items()
        )
        for k, bound in enumerate(map(sum, zip(*totals, strict=True))):
            self._raise(k, bound)
        yield self.best

    def _raise(self, k: int, bound: int) -> bool:
        """Raise the bound of one of the totals; True if it equals the total now."""
        bounds = [self.best.late_bound, self.best.short_bound, self.best.finish_bound]
        bounds[k] = max(bounds[k], min(bound, self.best.totals[k]))
        late, short, finish = bounds
        self.best = self.best._replace(late_bound=late, short_bound=short, finish_bound=finish)
        return bounds[k] == self.best.totals[k]

    def _prove(self, units: float) -> Iterator[Result | None]:
        """Find the least value of the first total that is not proven, and its bound, first to within a step."""
        bounds = self.best.late_bound, self.best.short_bound, self.best.finish_bound
        k = next(k for k in range(3) if self.best.totals[k] > bounds[k])
        before = self.best.totals[k]
        step = max(1, (before - bounds[k]) // STEPS)
        jobs = tuple(j for j in self.scoper.jobs if k == 2 or self.problem.jobs[j].due is not None)
        scope = self.scoper.bounding(self.best, jobs) if jobs else None
        if scope is not None:
            rounds = self._with_best(ExactModel(scope))
            solution = self._spend(rounds.least(self._total(rounds, k), before, units, step))
            whole = len(scope.free) == len(self.scoper.free)
            yield self._read(rounds, solution.values) if whole else None
            if self._raise(k, solution.bound):
                yield self.best
                return
            if whole or (step > 1 and solution.bound > bounds[k]):
                return
        rounds = self._model()
        solution = self._spend(rounds.least(self._total(rounds, k), before, units))
        better = self._read(rounds, solution.values)
        if solution.proven and better is None:
            self.left = 0  # only a search without limits could find more
        yield better

    def _total(self, rounds: Rounds, k: int) -> Any:
        return (rounds.model.late, rounds.model.short, rounds.model.finish)[k]
