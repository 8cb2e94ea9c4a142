"""The exact model of a scope: every rule of the problem for CP-SAT, its three totals, and schedules read from
solutions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from shopday.scheduler.exact.air_model import add_air
from shopday.scheduler.exact.encoding import Declined, Encoding, Time
from shopday.scheduler.exact.holding_model import HoldingModel
from shopday.scheduler.exact.order_model import add_order, all_times
from shopday.scheduler.exact.schedule_reading import Starts
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.model.problem import COMPLETE

Values = Sequence[int]
"""A value for every variable of a model."""

HINT_TIME = 2.0
"""Deterministic time within which the model must find the schedule it is given; a small part is enough."""


@dataclass(frozen=True)
class Solution:
    """What a run of the solver found.

    values: of the best solution (None: none was found).
    bound:  no solution has a smaller objective.
    proven: the search ended by itself.
    spent:  deterministic time.
    """

    values: list[int] | None
    bound: int
    proven: bool
    spent: float


class ExactModel:
    """The model. Raises Declined if it cannot express a rule."""

    def __init__(self, scope: Scope) -> None:
        self.scope = scope
        self.encoding = Encoding()
        self.times = all_times(self.encoding, scope)
        add_order(self.encoding, scope, self.times)
        holding = HoldingModel(self.encoding, scope, self.times)
        holding.add_people()
        holding.add_things()
        self.air = add_air(self.encoding, scope, self.times)
        self.late, self.short, self.finish = self._totals()
        self.model = self.encoding.model

    def _totals(self) -> tuple[Any, Any, Any]:
        late: list[Any] = []
        short: list[Any] = []
        finish: list[Any] = []
        for j in self.scope.jobs:
            job, delivery = self.scope.problem.jobs[j], self._delivery(j)
            finish.append(job.weight * delivery.of)
            for limit, total in ((job.due, late), (job.safe_by, short)):
                if limit is not None and delivery.high > limit - self.scope.now:
                    total.append(job.weight * self._over(delivery, limit - self.scope.now).of)
        return sum(late), sum(short), sum(finish)

    def _delivery(self, j: int) -> Time:
        """A time not before any task of the job is complete; nothing is gained if it is later."""
        tasks = self.scope.problem.tasks
        mine = [i for i in self.times if tasks[i].job == j]
        waited_for = {
            lag.task for i in mine for lag in tasks[i].lags if lag.milestone == COMPLETE and lag.offset >= 0
        }
        low = max(self.scope.floors[j], *(self.times[i].complete.low for i in mine), 0)
        delivery = self.encoding.time(low, self.scope.caps[j])
        for i in mine:
            if i not in waited_for or tasks[i].fixed is not None or tasks[i].going:
                self.encoding.model.add(delivery.of >= self.times[i].complete.of)
        return delivery

    def _over(self, delivery: Time, limit: int) -> Time:
        """How far a delivery is after a limit; 0 if it is not."""
        if delivery.low >= limit:
            return delivery.later(-limit)
        over = self.encoding.time(0, delivery.high - limit)
        self.encoding.model.add(over.of >= delivery.of - limit)
        return over

    # ------------------------------------------------------------ schedules

    def values_of(self, starts: Starts) -> list[int]:
        """The values of all variables for a schedule. Raises Declined if the model does not allow it."""
        fixed = self.model.clone()
        for i in self.scope.free:
            times = self.times[i]
            if not self.scope.problem.tasks[i].starts_immediately:
                fixed.add(times.start.of == starts.minutes[i] - self.scope.now)
                fixed.add(_as_constraint(times.crews[starts.crews[i]]))
        fixed.minimize(self.late + self.short + self.finish)
        solution = solve_model(fixed, HINT_TIME)
        if solution.values is None:
            raise Declined("the exact model does not accept the schedule")
        return solution.values

    def starts(self, values: Values) -> Starts:
        """Where a solution puts the free tasks."""
        tasks = self.scope.problem.tasks
        minutes = {i: value(self.times[i].start, values) + self.scope.now for i in self.scope.free}
        crews = {
            i: next(c for c, literal in enumerate(self.times[i].crews) if is_true(literal, values))
            for i in self.scope.free
            if not tasks[i].starts_immediately
        }
        missed = frozenset(
            i for i in self.scope.free if (of := self.times[i].missed) is not None and is_true(of, values)
        )
        return Starts(minutes, crews, missed)


def _as_constraint(literal: Any) -> Any:
    return bool(literal) if isinstance(literal, int) else literal == 1


def value(time: Time, values: Values) -> int:
    return time.plus + (0 if time.variable is None else values[time.variable.index])


def is_true(literal: Any, values: Values) -> bool:
    return bool(literal) if isinstance(literal, int) else bool(values[literal.index])


def solve_model(model: cp_model.CpModel, units: float, seed: int = 0) -> Solution:
    """Solve within this much deterministic time: the same model has the same answer on every machine.

    The linear relaxation, probing and symmetries cost more here than they gain.
    """
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.num_workers = 1
    parameters.random_seed = seed
    parameters.max_deterministic_time = units
    parameters.linearization_level = 0
    parameters.cp_model_probing_level = 0
    parameters.symmetry_level = 0
    parameters.use_overload_checker_in_cumulative = True
    parameters.use_dynamic_precedence_in_disjunctive = True
    status = solver.status_name(solver.Solve(model))
    response, found = solver.response_proto, status in ("OPTIMAL", "FEASIBLE")
    return Solution(
        values=list(response.solution) if found else None,
        bound=round(solver.best_objective_bound) if found else 0,
        proven=status in ("OPTIMAL", "INFEASIBLE"),
        spent=response.deterministic_time,
    )
