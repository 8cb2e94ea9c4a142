"""Made-up projects with minimum and maximum time lags and resources (RCPSP/max), small enough to be decided from outside."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from ortools.sat.python import cp_model

from shopday.scheduler import START, Crew, Delivery, Lag, Problem, Task, Window

CAPACITIES = (4, 1)


@dataclass
class Project:
    """lags: (i, j, d): j starts at least d after i; a negative d is a maximum lag from j to i."""

    takes: list[int]
    uses: list[tuple[int, int]]
    lags: list[tuple[int, int, int]]

    def problem(self) -> Problem:
        """The makespan as the delivery of one job; windows on the tasks that maximum lags hold close."""
        tasks = [
            Task(
                0,
                work=work,
                crews=(Crew(),),
                uses=tuple((r, n) for r, n in enumerate(self.uses[k]) if n),
                lags=tuple(Lag(i, START, d) for i, j, d in self.lags if j == k and d >= 0),
                windows=tuple(Window((Lag(j, START),), -d) for i, j, d in self.lags if i == k and d < 0),
            )
            for k, work in enumerate(self.takes)
        ]
        return Problem(0, (Delivery(),), tuple(tasks), CAPACITIES)

    def lags_agree(self) -> bool:
        """No circle of lags is longer than nothing: Floyd and Warshall's longest ways."""
        n = len(self.takes)
        way = [[0 if i == j else -(10**9) for j in range(n)] for i in range(n)]
        for i, j, d in self.lags:
            way[i][j] = max(way[i][j], d)
        for k in range(n):
            for i in range(n):
                for j in range(n):
                    way[i][j] = max(way[i][j], way[i][k] + way[k][j])
        return all(way[i][i] <= 0 for i in range(n))

    def possible(self) -> bool:
        """Whether CP-SAT finds starts that keep every lag and every capacity."""
        model, horizon = cp_model.CpModel(), sum(self.takes) + sum(max(0, d) for _, _, d in self.lags)
        starts = [model.NewIntVar(0, horizon, "") for _ in self.takes]
        work = [model.NewFixedSizeIntervalVar(s, p, "") for s, p in zip(starts, self.takes, strict=True)]
        for i, j, d in self.lags:
            model.Add(starts[j] >= starts[i] + d)
        for r, capacity in enumerate(CAPACITIES):
            model.AddCumulative(work, [uses[r] for uses in self.uses], capacity)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        return solver.StatusName(solver.Solve(model)) in ("OPTIMAL", "FEASIBLE")


def project(seed: int) -> Project:
    """Four to nine tasks; minimum lags forward, some of them answered by a maximum lag that is more or less tight."""
    random = Random(seed)
    n = random.randint(4, 9)
    takes = [random.randint(1, 10) for _ in range(n)]
    uses = [(random.randint(0, 3), int(random.random() < 0.3)) for _ in range(n)]
    lags = []
    for j in range(1, n):
        for i in random.sample(range(j), min(j, random.randint(1, 2))):
            lags.append((i, j, random.randint(0, 10)))
    for _ in range(random.randint(1, n // 2)):
        i, j = sorted(random.sample(range(n), 2))
        lags.append((j, i, -random.randint(3, 25)))
    return Project(takes, uses, lags)
