"""Generated shops against OR-Tools CP-SAT.  python tests/bench/exact_shops.py [SECONDS] [STEPS,STEPS,...] [SEEDS] [EFFORT]

CP-SAT gets 2 workers, so many seconds (60), an exact model and our schedule as a hint, so it is never worse.
"""

from __future__ import annotations

import sys
import time
from collections import deque

from exact import exact
from making import made_shop

from shopday.scheduler import first, improve_in_parallel, verify_result

HEAD = f"{'steps':>5} {'seed':>4} | {'first':>17} {'ms':>5} | {'ours':>17} {'s':>5} | {'CP-SAT':>17} {'bound':>17} {'s':>5} | excess"


def main(seconds: float = 60, steps: str = "30,60,150,300", seeds: int = 3, effort: float = 1) -> None:
    print(HEAD)
    for size in map(int, steps.split(",")):
        for seed in range(seeds):
            row(size, seed, seconds, effort)


def row(size: int, seed: int, seconds: float, effort: float) -> None:
    problem = made_shop(seed, size)
    clock = time.perf_counter()
    start = first(problem)
    early = time.perf_counter() - clock
    result = deque(filter(None, improve_in_parallel(problem, effort)), maxlen=1).pop()
    took = time.perf_counter() - clock - early
    assert verify_result(problem, result) == []
    longest = max(place.complete for place in start.schedule.placed if place) - problem.now
    clock = time.perf_counter()
    best = exact(problem, result.schedule, seconds, longest * 5 // 4 + 3 * 1440, workers=2)
    theirs = time.perf_counter() - clock
    excess = (
        f"{100 * (result.finish / best.finish - 1):.2f} %" if best.finish and result.late == best.late else ""
    )
    print(
        f"{size:5} {seed:4} | {start.late:>7} {start.finish:>9} {1000 * early:5.0f} | {result.late:>7}"
        f" {result.finish:>9} {took:5.1f} | {best.late!s:>7} {best.finish!s:>9} {best.late_bound:>7}"
        f" {best.finish_bound:>9} {theirs:5.1f} | {excess or 'late ' + str(result.late - (best.late or 0))}",
        flush=True,
    )


if __name__ == "__main__":
    main(*(kind(text) for kind, text in zip((float, str, int, float), sys.argv[1:], strict=False)))
