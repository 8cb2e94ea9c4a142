"""Kill a program that logs facts, at random moments, and look whether anything it was told is safe is gone.

By hand: python tests/journal/kill.py 1000
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from itertools import count
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from shopday.journal import backup  # noqa: E402
from shopday.journal.journal import Journal  # noqa: E402

DAY = 86400
LOT = 50
"""Kills of one journal; it grows, and is looked through whole after each."""


def log_for_ever(path: Path) -> None:
    """Append and take back, printing each row's number once it is said to be safe. Each fact is on a new
    day, so that copies are being made all the time too."""
    journal = Journal(path)
    days = count(len(journal.all_facts()) + 1)
    journal.clock = lambda: next(days) * DAY
    while True:
        fact = journal.append("start", "table/top/glue", 1, 7, why="x" * random.randrange(3000))
        print(fact.id, flush=True)
        if fact.id % 5 == 0 and journal.undo() is not None:
            print(fact.id + 1, flush=True)


def killed(path: Path, chance: random.Random) -> set[int]:
    """Run a logging program, kill it within a write or between two; the numbers it was told are safe."""
    child = subprocess.Popen(
        [sys.executable, __file__, "--log", str(path)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    told = [child.stdout.readline() for _ in range(chance.randrange(1, 12))]
    end = time.perf_counter() + chance.random() * 0.006
    while time.perf_counter() < end:
        pass
    child.kill()
    rest, errors = child.communicate()
    assert not errors, errors
    return {int(line) for line in (*told, *rest.splitlines(keepends=True)) if line.endswith("\n")}


def survive(path: Path, times: int, seed: int) -> int:
    """Kill so many times on one journal; how many facts were acknowledged. Fails where one is lost."""
    chance, safe = random.Random(seed), set[int]()
    for _ in range(times):
        safe |= killed(path, chance)
        ids = {fact.id for fact in Journal(path).check()}
        assert safe <= ids, f"lost: {sorted(safe - ids)}"
        assert len(ids) <= max(safe) + 1, "rows nobody wrote"
        assert all(map(backup.is_good, backup.backups(path))), "half a backup"
        safe = ids
    return len(safe)


if __name__ == "__main__":
    if sys.argv[1] == "--log":
        log_for_ever(Path(sys.argv[2]))
    times, facts = int(sys.argv[1]), 0
    for done in range(0, times, LOT):
        with tempfile.TemporaryDirectory() as folder:
            facts += survive(Path(folder) / "journal.db", min(LOT, times - done), seed=time.time_ns())
    print(f"killed {times} times, {facts} facts, none lost")
