"""Programs and a person at one shop folder at once: who loses what was written?

By hand: python tests/journal/crowd.py 300

Four programs log, take back and change a job file; a person changes the same file with an editor, which
asks for no lock. The person's save and a program's can fall between each other's last look and the
renaming, some microseconds in which either may be lost. Here the person's save waits for the lock, to see
that nothing else is lost.
"""

from __future__ import annotations

import fcntl
import os
import random
import re
import sys
import tempfile
import time
import tomllib
import traceback
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from shopday.journal.journal import Journal  # noqa: E402
from shopday.planning.open_shop import OpenShop  # noqa: E402
from shopday.shop.editing.file_edits import set_step_fields  # noqa: E402
from shopday.shop.faults import ShopdayError  # noqa: E402
from shopday.shop.quantities import minutes  # noqa: E402

PROGRAMS = 4
SHOP = 'name = "Crowd"\ntimezone = "UTC"\n[hours]\nmonday = ["08:00-16:00"]\n'
JOB = "".join(f'[[steps]]\nid = "s{n}"\nhands_on = 1\n' for n in range(PROGRAMS)).replace("= 1\n", '= "1m"\n')


def program(folder: Path, number: int, rounds: int) -> None:
    """Log and count a field of its own up; what it wrote last must still be there."""
    job, journal = folder / "jobs/desk.toml", Journal(folder / "journal.db", patience=60)
    for n in range(1, rounds + 1):
        journal.append("start", f"p{number}", n, n)
        if n % 5 == 0:
            journal.undo()
        there = counted(job)[number]
        assert there == n, f"program {number} wrote {n}, and {there} is there"
        while True:
            try:
                set_step_fields(job, None, f"s{number}", {"hands_on": n + 1})
                break
            except ShopdayError as error:
                if "changed by somebody else" not in str(error):
                    raise


def counted(job: Path) -> list[int]:
    return [minutes(step["hands_on"]) for step in tomllib.loads(job.read_text())["steps"]]


def person(folder: Path, saves: int) -> None:
    """Write a line at a time into the file, as an editor does: look, change, and put a new file in its place,
    unless the old one changed meanwhile."""
    job, part = folder / "jobs/desk.toml", folder / "jobs/.desk.swp"
    for n in range(saves):
        while True:
            seen = job.read_text()
            part.write_text(f"# line {n}\n{seen}")
            with ExitStack() as stack:
                handle = os.open(folder / "jobs", os.O_RDONLY)
                stack.callback(os.close, handle)
                fcntl.flock(handle, fcntl.LOCK_EX)
                if job.read_text() == seen:
                    part.replace(job)
                    break
        time.sleep(random.random() * 0.02)


def crowd(folder: Path, rounds: int) -> None:
    """Everybody at once; fails where anything is lost or a screen would be stale."""
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(SHOP)
    (folder / "jobs/desk.toml").write_text(JOB)
    app = OpenShop(folder)
    children = [forked(lambda n=n: program(folder, n, rounds)) for n in range(PROGRAMS)]  # type: ignore[misc]
    children.append(forked(lambda: person(folder, rounds)))
    failed = [status for child in children if (status := os.waitpid(child, 0)[1])]
    assert not failed, "a program lost something"

    text = (folder / "jobs/desk.toml").read_text()
    assert counted(folder / "jobs/desk.toml") == [rounds + 1] * PROGRAMS
    assert re.findall(r"# line (\d+)\n", text) == [str(n) for n in reversed(range(rounds))]
    facts = Journal(folder / "journal.db").check()
    undone = [fact.data["of"] for fact in facts if fact.kind == "undo"]
    assert len(undone) == len(set(undone)) == PROGRAMS * (rounds // 5)
    for n in range(PROGRAMS):
        assert [fact.pass_no for fact in facts if fact.address == f"p{n}" and fact.kind == "start"] == list(
            range(1, rounds + 1)
        )
    app.refresh()
    fresh = OpenShop(folder)
    assert (app.folder, app.journal.all_facts()) == (fresh.folder, facts)


def forked(act: Callable[[], None]) -> int:
    child = os.fork()
    if child == 0:
        status = 1
        try:
            act()
            status = 0
        except BaseException:
            traceback.print_exc()
        os._exit(status)
    return child


if __name__ == "__main__":
    rounds = int(sys.argv[1])
    with tempfile.TemporaryDirectory() as room:
        crowd(Path(room), rounds)
    print(f"{PROGRAMS * rounds} facts and edits, {rounds} by hand: nothing lost")
