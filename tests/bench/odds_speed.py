"""Odds of shops made of copies of the demo: seconds to the first figures and to the last, with one process and two.

Run from the repository: python tests/bench/odds_speed.py [STEPS,STEPS,...] [DRAWS]
"""

from __future__ import annotations

import datetime as dt
import os
import resource
import sys
import tempfile
import time
from pathlib import Path

from shopday.planning.demo_copy import copy_demo
from shopday.planning.odds import parallel_simulation as two
from shopday.planning.odds.delivery_odds import odds_of
from shopday.planning.open_shop import OpenShop

NOW = dt.datetime(2026, 12, 2, 10, 5)


def copies(folder: Path, steps: int) -> OpenShop:
    """The demo's jobs again under other names, until there are so many steps to be done."""
    jobs = copy_demo(folder, NOW) / "jobs"
    files = [(path.stem, path.read_text("utf-8")) for path in sorted(jobs.glob("*.toml"))]
    count = 1
    while True:
        for name, text in files:
            shop = OpenShop(folder, NOW)
            if len([row for row in shop.plan(0).steps if row.complete > shop.now()]) >= steps:
                return shop
            (jobs / f"{name}-{count}.toml").write_text(text, "utf-8")
        count += 1


def spent() -> float:
    """CPU seconds of this process and of those it has ended."""
    kinds = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(usage.ru_utime + usage.ru_stime for usage in map(resource.getrusage, kinds))


def main(sizes: str = "40,80,150,300", draws: str = "500") -> None:
    print(f"{two.cores()} cores, load {os.getloadavg()[0]:.1f}")
    print(f"{'steps':>5} {'draws':>5} {'processes':>9} | {'first':>6} {'last':>6} {'CPU':>6} | {'a draw':>6}")
    for size in map(int, sizes.split(",")):
        with tempfile.TemporaryDirectory() as folder:
            shop = copies(Path(folder), size)
            plan = shop.plan(0)
            for processes in (1, 2):
                two.cores = lambda processes=processes: processes  # type: ignore[misc]
                clock, began = time.perf_counter(), spent()
                moments = [time.perf_counter() - clock for _ in filter(None, odds_of(shop, plan, int(draws)))]
                cpu = spent() - began
                print(
                    f"{size:5} {draws:>5} {processes:9} | {moments[0]:4.2f} s {moments[-1]:4.1f} s {cpu:4.1f} s"
                    f" | {1000 * cpu / int(draws):3.0f} ms",
                    flush=True,
                )


if __name__ == "__main__":
    main(*sys.argv[1:])
