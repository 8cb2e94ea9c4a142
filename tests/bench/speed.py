"""Passes placed per second, and the time to a first plan.  python tests/bench/speed.py [STEPS,STEPS,...]"""

from __future__ import annotations

import resource
import sys
import time

from making import made_shop

from shopday.scheduler import first, solve


def main(steps: str = "30,120,300,3000") -> None:
    print(f"{'steps':>5} | {'first':>8} | {'schedules':>9} {'passes/s':>9} | {'memory':>7}")
    for size in map(int, steps.split(",")):
        problem = made_shop(1, size)
        clock = time.perf_counter()
        first(problem)
        early = time.perf_counter() - clock
        clock = time.perf_counter()
        result = solve(problem, 0.2)
        took = time.perf_counter() - clock
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        speed = result.iterations * size / took
        print(
            f"{size:5} | {1000 * early:5.0f} ms | {result.iterations:9} {speed:9.0f} | {memory:4} MB",
            flush=True,
        )


if __name__ == "__main__":
    main(*sys.argv[1:])
