"""Open benchmark sets against the best makespans known.  python tests/bench/sets.py FOLDER [SET] [SCHEDULES] [MOST]

FOLDER holds j30, j60, j120 (PSPLIB), rcpspmax/* (ProGen/max) and smwt (OR-Library) as they are published.
SET: one of those, or a comma-separated few; SCHEDULES: how many builds each, "1000,5000" for two rows, "x1" for
as many as effort 1 buys; MOST: at most so many instances of a set, spread over it.
"""

from __future__ import annotations

import csv
import re
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from shopday.scheduler import (
    END,
    START,
    Crew,
    Delivery,
    Lag,
    Problem,
    Result,
    Task,
    Window,
    solve,
    verify_result,
)


@dataclass
class Instance:
    """`known`: the best value published; None: proven infeasible. `late`: it is about lateness, not length."""

    name: str
    problem: Problem
    known: int | None
    late: bool = False


def project(path: Path) -> Problem:
    """A PSPLIB .sm file: one job whose delivery is the makespan."""
    text = path.read_text()
    after = _table(text, "PRECEDENCE RELATIONS")
    needs = _table(text, "REQUESTS/DURATIONS")
    capacities = _table(text, "RESOURCEAVAILABILITIES")[0]
    lags: dict[int, list[Lag]] = {row[0]: [] for row in after}
    for number, _, _, *successors in after:
        for successor in successors:
            lags[successor].append(Lag(number - 1, END))
    tasks = [_task(work, amounts, lags[number]) for number, _, work, *amounts in needs]
    return Problem(0, (Delivery(),), tuple(tasks), tuple(capacities))


def _table(text: str, heading: str) -> list[list[int]]:
    block = text[text.index(heading) :].split("***")[0]
    rows = [line.split() for line in block.splitlines()[1:]]
    return [[int(x) for x in row] for row in rows if row and all(re.fullmatch(r"\d+", x) for x in row)]


def _task(work: int, amounts: list[int], lags: list[Lag], windows: tuple[Window, ...] = ()) -> Task:
    uses = tuple((r, n) for r, n in enumerate(amounts) if n)
    return Task(0, work=work, crews=(Crew(),), uses=uses, lags=tuple(lags), windows=windows)


def project_with_lags(path: Path) -> Problem:
    """A ProGen/max .sch file: lags from start to start, a negative one is a window of the task it leaves."""
    lines = [re.findall(r"-?\d+", line) for line in path.read_text().splitlines() if line.strip()]
    rows = [[int(x) for x in line] for line in lines]
    count = rows[0][0] + 2
    lags: dict[int, list[Lag]] = {i: [] for i in range(count)}
    windows: dict[int, list[Window]] = {i: [] for i in range(count)}
    for i, _, k, *rest in rows[1 : count + 1]:
        for j, lag in zip(rest[:k], rest[k:], strict=True):
            if lag > 0 or (lag == 0 and i < j):
                lags[j].append(Lag(i, START, lag))
            else:
                windows[i].append(Window((Lag(j, START),), -lag))
    needs = rows[count + 1 : 2 * count + 1]
    tasks = [_task(work, amounts, lags[i], tuple(windows[i])) for i, _, work, *amounts in needs]
    return Problem(0, (Delivery(),), tuple(tasks), tuple(rows[-1]))


def projects(folder: Path) -> Iterator[Instance]:
    known = {"j30": "j30opt.csv"}.get(folder.name, f"{folder.name}bks.csv")
    with (folder.parent / known).open() as file:
        best = {row["instance"]: int(row["best_known_upper"]) for row in csv.DictReader(file)}
    for path in sorted(folder.glob("*.sm")):
        yield Instance(path.name, project(path), best[path.name])


def projects_with_lags(folder: Path) -> Iterator[Instance]:
    with (folder / "optimum.csv").open() as file:
        known = {row["problem"].lower(): row["optimum"] for row in csv.DictReader(file)}
    for path in sorted(folder.glob("*.[sS][cC][hH]")):
        value = known[path.name.lower()]
        best = None if value == "unsat" else int(value.split("..")[-1])
        yield Instance(path.name, project_with_lags(path), best)


def one_machine(folder: Path) -> Iterator[Instance]:
    """wt40: total weighted tardiness on one machine."""
    numbers = [int(x) for x in (folder / "wt40.txt").read_text().split()]
    for k, best in enumerate(map(int, (folder / "wtopt40.txt").read_text().split())):
        takes, weights, dues = (numbers[120 * k + 40 * n : 120 * k + 40 * (n + 1)] for n in range(3))
        jobs = tuple(Delivery(weight, due) for weight, due in zip(weights, dues, strict=True))
        tasks = tuple(Task(i, work=work, crews=(Crew((0,)),)) for i, work in enumerate(takes))
        yield Instance(f"wt40-{k + 1}", Problem(0, jobs, tasks, (1,)), best, late=True)


READERS: dict[str, tuple[str, Callable[[Path], Iterator[Instance]]]] = {
    **{name: (name, projects) for name in ("j30", "j60", "j120")},
    **{
        name: (f"rcpspmax/{name}", projects_with_lags)
        for name in ("sm_j10", "sm_j20", "sm_j30", "ubo10", "ubo20", "ubo50", "ubo100")
    },
    "wt40": ("smwt", one_machine),
}


HEAD = """Schedules: the most that may be generated for an instance, one given up half-way counted as one; "mean" is how
many were. Solved: a place for everything, of the instances that have one. Excess: over the best value known, where
that is not 0.
"""


def main(folder: str, sets: str = ",".join(READERS), schedules: str = "1000,5000", most: int = 1000) -> None:
    print(HEAD)
    print(
        f"{'set':>7} {'schedules':>9} {'mean':>6} | {'solved':>9} {'best known':>10} {'mean excess':>11} {'s each':>6}"
    )
    for name in sets.split(","):
        place, read = READERS[name]
        instances = list(read(Path(folder) / place))
        instances = instances[:: -(-len(instances) // most)]
        for wanted in schedules.split(","):
            table_row(name, wanted, instances)


def table_row(name: str, wanted: str, instances: list[Instance]) -> None:
    runs = [run(instance.problem, wanted) for instance in instances]
    each = sum(seconds for _, seconds in runs) / len(runs)
    found = [
        (instance, value(instance, answer)) for instance, (answer, _) in zip(instances, runs, strict=True)
    ]
    built = sum(answer.iterations for answer, _ in runs) / len(runs)
    feasible = [(x.known, v) for x, v in found if x.known is not None]
    solved = [(known, v) for known, v in feasible if v is not None]
    gaps = [100 * (v - known) / known for known, v in solved if known]
    equal = sum(v == known for known, v in feasible)
    mean = sum(gaps) / len(gaps) if gaps else 0.0
    print(
        f"{name:>7} {wanted:>9} {built:6.0f} | {len(solved):>4}/{len(feasible):<4} {equal:10} {mean:9.2f} % {each:6.2f}",
        flush=True,
    )
    for instance, got in found:
        if instance.known is None and got is not None:
            print(f"        {instance.name}: {got}, though it is proven infeasible")
        if instance.known is not None and got is None:
            print(f"        {instance.name}: not solved, {instance.known} is known")
        if instance.known is not None and got is not None and got < instance.known:
            print(f"        {instance.name}: {got}, better than the {instance.known} known")


TRIAL = 0.02
"""Effort of the run that tells a problem's pace."""

TRIES = 6
"""How often the effort is put right."""


def run(problem: Problem, wanted: str) -> tuple[Result, float]:
    """What the effort finds that buys so many schedules, and its seconds; the most of them that is not too much.

    The search must be given the right effort, not only be cut short: it divides what it may spend among its moves.
    """
    effort, count = (float(wanted[1:]), None) if wanted.startswith("x") else (TRIAL, int(wanted))
    best: tuple[Result, float] | None = None
    for _ in range(TRIES):
        clock = time.perf_counter()
        result = solve(problem, effort)
        found = result, time.perf_counter() - clock
        if count is None or result.optimal:
            return found
        if result.iterations <= count and (best is None or result.iterations > best[0].iterations):
            best = found
        if 0.9 * count <= result.iterations <= count:
            break
        effort *= 0.95 * count / result.iterations
    return best or found


def value(instance: Instance, result: Result) -> int | None:
    """The total asked for, checked; None where something has no place."""
    faults = verify_result(instance.problem, result)
    if faults:
        print(f"        {instance.name}: {faults[0]}")
    if result.schedule.unplaced:
        return None
    return result.late if instance.late else result.finish


if __name__ == "__main__":
    main(*(kind(text) for kind, text in zip((str, str, str, int), sys.argv[1:], strict=False)))
