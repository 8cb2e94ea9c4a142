"""Our search and the exact engine at the same processor time, beside the best that is known.

    python tests/bench/engines.py [--steps 30,60,150] [--seeds 4] [--shops FOLDER] [--sets FOLDER] [--most 4] [--record]

Generated shops are always there; `--shops` adds a folder of shops (each with `now.txt`, and `best.json` where a best is
known), `--sets` the published sets that `sets.py` reads, at most so many instances of each. Everything runs in one
process, one after another, both of our searches too. The exact engine starts from our plan of effort 1, and is read off when it has used as much
processor time in all as our efforts 4 and 8, and at its end (`--effort`).

`--record` writes what is better than `best_known.json`, or is proven now, into it, with how it was found.
"""

from __future__ import annotations

import datetime as dt
import json
import time
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making import made_shop
from sets import READERS

from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.open_shop import OpenShop
from shopday.scheduler import Problem, Result, improve_in_parallel, verify_result
from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_search import ExactSearch
from shopday.scheduler.search import parallel_search

BEST_KNOWN = Path(__file__).with_name("best_known.json")
EFFORTS = (1.0, 4.0, 8.0)
HEAD = f"{'shop':>22} {'best known':>24} |" + "".join(
    f" {name:>24} {'s':>5} |"
    for name in ("ours 1", "ours 4", "ours 8", "exact, as ours 4", "exact, as ours 8", "exact at its end")
)


@dataclass(frozen=True)
class Case:
    """known: the totals of the best, as far as it says which (None: any)."""

    name: str
    problem: Problem
    known: tuple[int | None, ...] | None = None


@dataclass(frozen=True)
class Reading:
    """A result, and the processor time after which it was there."""

    result: Result
    seconds: float

    def __str__(self) -> str:
        return f" {totals_text(self.result.totals) + ('*' if self.result.optimal else ''):>24} {self.seconds:5.1f} |"


def totals_text(totals: tuple[int | None, ...]) -> str:
    return "/".join("-" if total is None else str(total) for total in totals)


# ------------------------------------------------------------ what is solved


def cases(args: Namespace) -> Iterator[Case]:
    recorded = json.loads(BEST_KNOWN.read_text())
    for steps in map(int, filter(None, args.steps.split(","))):
        for seed in range(args.seeds):
            name = f"made {seed} {steps}"
            row = recorded.get(name)
            yield Case(name, made_shop(seed, steps), None if row is None else tuple(row["totals"]))
    if args.shops:
        yield from shops(Path(args.shops))
    if args.sets:
        yield from published(Path(args.sets), args.most)


def shops(folder: Path) -> Iterator[Case]:
    for path in sorted(file.parent for file in folder.glob("*/now.txt")):
        shop = OpenShop(path, dt.datetime.fromisoformat((path / "now.txt").read_text().strip()))
        problem = encode_problem(shop.folder, shop.state(), shop.minute()).problem
        best = path / "best.json"
        row = json.loads(best.read_text()) if best.exists() else None
        yield Case(path.name, problem, None if row is None else (row["late"], None, row["finish"]))


def published(folder: Path, most: int) -> Iterator[Case]:
    for place, read in READERS.values():
        instances = list(read(folder / place))
        for one in instances[:: -(-len(instances) // most)]:
            known = (one.known, None, None) if one.late else (None, None, one.known)
            yield Case(one.name, one.problem, known)


# ------------------------------------------------------------ how


def ours(problem: Problem, effort: float) -> Reading:
    """Both searches; without a second process the first does the work of the second too."""
    clock = time.process_time()
    *_, last = filter(None, improve_in_parallel(problem, effort))
    return Reading(last, time.process_time() - clock)


def exactly(problem: Problem, start: Reading, effort: float, limits: list[float]) -> list[Reading] | str:
    """What the exact engine has after each of these seconds, ours before it included, and at its end."""
    clock, best, readings = time.process_time() - start.seconds, start, []
    try:
        for found in ExactSearch(problem, start.result, effort).run():
            now = time.process_time() - clock
            while limits[len(readings) :] and now > limits[len(readings)]:
                readings.append(best)
            best = best if found is None else Reading(found, now)
    except Declined as declined:
        return f"declined: {declined}"
    return [*readings, *[best] * (len(limits) + 1 - len(readings))]


def row(case: Case, args: Namespace) -> Result:
    """Prints it; the best result."""
    found = [ours(case.problem, effort) for effort in EFFORTS]
    limits = [reading.seconds for reading in found[1:]]
    theirs = exactly(case.problem, found[0], args.effort, limits)
    said = f" {theirs}" if isinstance(theirs, str) else "".join(map(str, theirs))
    known = "" if case.known is None else totals_text(case.known)
    print(f"{case.name:>22} {known:>24} |{''.join(map(str, found))}{said}", flush=True)
    every = [*found, *([] if isinstance(theirs, str) else theirs)]
    for reading in every:
        assert verify_result(case.problem, reading.result) == []
    return min((reading.result for reading in every), key=lambda result: (result.aim, not result.optimal))


def record(name: str, best: Result, effort: float) -> None:
    recorded: dict[str, Any] = json.loads(BEST_KNOWN.read_text())
    old = recorded.get(name)
    if old is not None and (list(best.totals), not best.optimal) >= (old["totals"], not old["proven"]):
        return
    how = f"ours at efforts {EFFORTS}, exact engine at effort {effort:g} from effort 1"
    recorded[name] = {"totals": list(best.totals), "proven": best.optimal, "how": how}
    rows = (f" {json.dumps(name)}: {json.dumps(recorded[name])}" for name in sorted(recorded, key=_size))
    BEST_KNOWN.write_text("{\n" + ",\n".join(rows) + "\n}\n")


def _size(name: str) -> tuple[int, int]:
    _, seed, steps = name.split()
    return int(steps), int(seed)


def main() -> None:
    parser = ArgumentParser(description=__doc__)
    parser.add_argument("--steps", default="30,60,150")
    parser.add_argument("--seeds", type=int, default=4)
    parser.add_argument("--shops", default="")
    parser.add_argument("--sets", default="")
    parser.add_argument("--most", type=int, default=4)
    parser.add_argument("--effort", type=float, default=8.0)
    parser.add_argument("--record", action="store_true")
    args = parser.parse_args()
    parallel_search.asked = lambda *_: None  # type: ignore[assignment]
    print("Totals: late/short/finish, * proven; s: processor time.\n" + HEAD)
    for case in cases(args):
        best = row(case, args)
        if args.record and case.name.startswith("made "):
            record(case.name, best, args.effort)


if __name__ == "__main__":
    main()
