"""One round of the exact search: some tasks are free, the others keep their order, and the best such schedule is
found."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from shopday.scheduler.exact.exact_model import ExactModel, Solution, Values, is_true, solve_model, value
from shopday.scheduler.model.result import Result

LATE, SHORT = 1000, 100
"""The weights of a minute late and of a minute of reserve, in minutes of the finish total."""

STEPS = 300
"""What could be gained is gained in so many steps. If the solver took less than a step, it would spend its time on
hundreds of schedules that are better by a minute each."""


class Rounds:
    """Solves one model again and again from a solution. values: of the best solution."""

    def __init__(self, model: ExactModel, values: Values, result: Result) -> None:
        self.model, self.values, self.result = model, list(values), result

    def free(self, free: Iterable[int], units: float, seed: int) -> Solution:
        """The best schedule, to within a step, in which all other tasks keep their order and crews."""
        model = self._no_worse()
        self._keep_order(model, set(self.model.scope.free) - set(free))
        late, short, finish = self.result.totals
        cost = LATE * self.model.late + SHORT * self.model.short + self.model.finish
        before, step = LATE * late + SHORT * short + finish, max(1, finish // STEPS)
        return _in_steps(model, cost, before, step, units, seed)

    def least(self, total: Any, before: int, units: float, step: int = 1) -> Solution:
        """The least value of a total, to within a step, among schedules that are no worse in the totals before it.

        before: what it is, or more.
        """
        return _in_steps(self._no_worse(), total, before, step, units)

    def _no_worse(self) -> cp_model.CpModel:
        """The model with the best solution as a hint, limited to schedules no worse in the first totals."""
        model, (late, short, _) = self.model.model.clone(), self.result.totals
        for index, number in enumerate(self.values):
            model.add_hint(model.get_int_var_from_proto_index(index), number)
        model.add(self.model.late <= late)
        if late == self.result.late_bound:
            model.add(self.model.short <= short)
        else:
            less = model.new_bool_var("")
            model.add(self.model.late < late).only_enforce_if(less)
            model.add(self.model.short <= short).only_enforce_if(~less)
        return model

    def _keep_order(self, model: cp_model.CpModel, kept: set[int]) -> None:
        times, values = self.model.times, self.values
        rows: dict[int, list[tuple[int, int, Any, Any]]] = defaultdict(list)
        for i in kept:
            for literal in times[i].crews:
                if not isinstance(literal, int):
                    model.add(literal == int(is_true(literal, values)))
            for shift in times[i].shifts:
                if is_true(shift.chosen, values):
                    place = value(shift.start, values), value(shift.end, values)
                    rows[shift.person].append((*place, shift.start.of, shift.end.of))
        for row in rows.values():
            row.sort(key=lambda x: x[:2])
            for (*_, end), (_, _, start, _) in pairwise(row):
                model.add(start >= end)
        for choice in self.model.air:
            if choice.still in kept and choice.dusty in kept:
                model.add(choice.literal == int(is_true(choice.literal, values)))


def _in_steps(
    model: cp_model.CpModel, cost: Any, before: int, step: int, units: float, seed: int = 0
) -> Solution:
    """Minimise a cost, by steps from what it is before; the bound of the solution is one of the cost."""
    steps = model.new_int_var(-(before // step) - 1, 0, "")
    model.add(step * steps >= cost - before)
    model.add_hint(steps, 0)
    model.minimize(steps)
    solution = solve_model(model, units, seed)
    return replace(solution, bound=before + step * (solution.bound - 1) + 1)
