"""One machine, least total weighted tardiness: generated instances whose optimum is worked out over all subsets.

Made as the open benchmark was: work 1..100, weights 1..10, due dates even over a range that the two factors
RDD (how wide) and TF (how tight) give (Crauwels, Potts and Van Wassenhove, INFORMS Journal on Computing 10, 1998).
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import pytest

from shopday.scheduler import Crew, Delivery, Problem, Task, improve, verify_result

EFFORT = 1.0


@dataclass
class Machine:
    takes: list[int]
    weights: list[int]
    dues: list[int]

    def problem(self) -> Problem:
        jobs = tuple(Delivery(weight, due) for weight, due in zip(self.weights, self.dues, strict=True))
        tasks = tuple(Task(k, work=work, crews=(Crew((0,)),)) for k, work in enumerate(self.takes))
        return Problem(0, jobs, tasks, (1,))

    def least(self) -> int:
        """The optimum: of each set of jobs done first, the best that may be its last (Held and Karp 1962)."""
        count = len(self.takes)
        over = [0] * (1 << count)
        best = [0] * (1 << count)
        for done in range(1, 1 << count):
            low = (done & -done).bit_length() - 1
            over[done] = over[done & (done - 1)] + self.takes[low]
            best[done] = min(
                best[done ^ 1 << k] + self.weights[k] * max(0, over[done] - self.dues[k])
                for k in range(count)
                if done >> k & 1
            )
        return best[-1]


def machine(seed: int, count: int, rdd: float, tf: float) -> Machine:
    random = Random(seed)
    takes = [random.randint(1, 100) for _ in range(count)]
    weights = [random.randint(1, 10) for _ in range(count)]
    whole = sum(takes)
    low, high = (round(whole * (1 - tf + sign * rdd / 2)) for sign in (-1, 1))
    return Machine(takes, weights, [random.randint(low, high) for _ in range(count)])


def test_the_optimum_over_subsets_is_that_of_an_example_over_all_orders() -> None:
    # Recomputed over all 120 orders: 19.
    assert Machine([6, 2, 8, 3, 9], [1, 2, 4, 1, 3], [8, 6, 18, 15, 23]).least() == 19


@pytest.mark.slow
@pytest.mark.parametrize(
    ("seed", "count", "rdd", "tf"),
    [
        (1, 12, 0.2, 0.4),
        (2, 12, 0.6, 0.4),
        (3, 12, 1.0, 0.4),
        (4, 13, 0.2, 0.6),
        (5, 13, 0.6, 0.6),
        (6, 13, 1.0, 0.6),
        (7, 13, 0.2, 0.8),
        (8, 13, 0.6, 0.8),
        (14, 14, 1.0, 0.8),
        (10, 14, 0.2, 1.0),
        (11, 14, 0.6, 1.0),
        (16, 15, 0.4, 0.8),
    ],
)
def test_the_least_weighted_tardiness_is_found(seed: int, count: int, rdd: float, tf: float) -> None:
    made = machine(seed, count, rdd, tf)
    least = made.least()
    for result in filter(None, improve(made.problem(), EFFORT)):
        assert verify_result(made.problem(), result) == []
        assert result.late >= least
        if result.late == least:
            return
    pytest.fail(f"{result.late} is the best found, {least} can be had")
