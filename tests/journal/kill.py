"""Kill programs at random moments, and look whether anything they said was safe is gone, or any file is half.

By hand: python tests/journal/kill.py 1000

Four kinds of program take turns: one logs and takes back, one changes job files and writes new ones, one
restores backups, one brings journals of an older schema up to date. Daily backups are made all the time.
"""

from __future__ import annotations

import datetime as dt
import os
import random
import re
import select
import shutil
import signal
import sys
import tempfile
import time
import tomllib
import traceback
from collections.abc import Callable
from itertools import count
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from shopday.journal import backup, database, schema  # noqa: E402
from shopday.journal.facts import Fact  # noqa: E402
from shopday.journal.journal import Journal  # noqa: E402
from shopday.journal.journal_restore import restore as put_right  # noqa: E402
from shopday.shop.editing.file_edits import set_job_fields, write_job  # noqa: E402
from shopday.shop.models import Job, Step  # noqa: E402

DAY = 86400
LOT = 40
"""Kills in one folder; all in it is looked through after each."""
LATEST = 0.03
"""Seconds after something was said to be safe within which the kill comes."""
NOTES = "# what the owner noted\n" * 400
OLD_ROWS = 1000
UNFINISHED = re.compile(r"\.db-journal$|\.part(-journal)?$|\.tmp$|/copy\.db$")
"""Files of something not done to its end."""

TODAY = list(schema.MIGRATIONS)
TOMORROW = [
    *TODAY,
    (
        "CREATE TABLE more AS SELECT *, '' AS who FROM facts",
        "DROP TABLE facts",
        "ALTER TABLE more RENAME TO facts",
        "CREATE INDEX by_address ON facts (address)",
    ),
]
"""A change of schema that writes every page anew."""

Say = Callable[[int], None]


# ---------------------------------------------------------------- what the programs do, for ever


def log(folder: Path, say: Say) -> None:
    """Append and take back. Each fact is on a new day, so that copies are being made all the time too."""
    journal, days = _journal(folder)
    while True:
        journal.clock = lambda: next(days) * DAY
        fact = journal.append("start", "table/top/glue", 1, 7, why="x" * random.randrange(3000))
        say(fact.id)
        if fact.id % 5 == 0 and journal.undo() is not None:
            say(fact.id + 1)


def restore(folder: Path, say: Say) -> None:
    """Log, which makes the day's copy, spoil the journal or take it away, and put it together again."""
    journal, days = _journal(folder)
    while True:
        day = next(days)
        journal.clock = lambda day=day: day * DAY  # type: ignore[misc]
        say(journal.append("start", "table/top/glue", 1, 7, why="x" * random.randrange(3000)).id)
        if day % 2:
            journal.path.unlink()
        else:
            journal.path.write_bytes(bytes(16) + journal.path.read_bytes()[16:])
        put_right(journal.path)


def edit(folder: Path, say: Say) -> None:
    """Change a job file, and write a new one each time."""
    while True:
        number = _number(folder) + 1
        set_job_fields(folder / "jobs/desk.toml", {"title": f"{number}:" + "x" * (number % 90) + ";"})
        write_job(folder / f"jobs/new-{number}.toml", Job(steps=(Step(id="saw", hands_on=number),)))
        say(number)


def migrate(folder: Path, say: Say) -> None:
    """Bring an old journal up to date, and again from the start."""
    schema.MIGRATIONS[:] = TOMORROW
    for number in count(1):
        shutil.copyfile(folder / "old.db", folder / "copy.db")
        (folder / "copy.db").replace(folder / "moving.db")
        for copy in backup.backups(folder / "moving.db"):
            copy.unlink()
        Journal(folder / "moving.db").append("finish", "table/top/glue", 1, 7)
        say(number)


def _journal(folder: Path) -> tuple[Journal, count[int]]:
    """The journal, and days that have no copy yet."""
    journal, epoch = Journal(folder / "journal.db"), dt.date(1970, 1, 1)
    last = [dt.date.fromisoformat(copy.stem[8:18]) for copy in backup.backups(journal.path)[:1]]
    return journal, count(((last or [epoch])[0] - epoch).days + 1)


def _number(folder: Path) -> int:
    found = re.match(r"(\d+):(x*);$", tomllib.loads((folder / "jobs/desk.toml").read_text())["title"])
    assert found is not None
    assert len(found[2]) == int(found[1]) % 90
    return int(found[1])


# ---------------------------------------------------------------- what must be left of it


def journal_is_whole(folder: Path, safe: int) -> int:
    """Only the copy being begun when the kill came may be empty. Its name need not be the newest: restoring copies to the
    day of the clock, and logging to the next day without a copy, which comes before that in a new folder."""
    path = folder / "journal.db"
    if not backup.good_facts(path):  # killed before it was put right
        put_right(path)
    ids = [fact.id for fact in Journal(path).check()]
    assert ids == list(range(1, len(ids) + 1))
    assert safe <= len(ids) <= safe + 1, f"{safe} were safe, {len(ids)} are there"
    written = {copy: copy.stat().st_mtime_ns for copy in backup.backups(path)}
    for copy, last in written.items():
        facts = database.examine(copy, patience=1)
        assert facts or last == max(written.values()), "an old backup is empty"
        assert not facts or backup.has(path, facts[-1], 1), "a backup is of another journal"
    for aside in folder.glob("journal-broken*.db"):
        aside.unlink()
    return len(ids)


def files_are_whole(folder: Path, safe: int) -> int:
    number = _number(folder)
    assert safe <= number <= safe + 1, f"{safe} was safe, {number} is there"
    assert (folder / "jobs/desk.toml").read_text().startswith(NOTES)
    new = {file.stem: tomllib.loads(file.read_text()) for file in folder.glob("jobs/new-*.toml")}
    assert all(job["steps"][0]["hands_on"] for job in new.values())
    assert set(new) >= {f"new-{n}" for n in range(1, safe + 1)}
    if f"new-{number}" not in new:  # killed between the two files
        write_job(folder / f"jobs/new-{number}.toml", Job(steps=(Step(id="saw", hands_on=number),)))
    return number


def schema_is_one_of_two(folder: Path, safe: int) -> int:
    path = folder / "moving.db"
    if path.exists():
        with database.opened(path, patience=1) as conn:
            number = conn.execute("PRAGMA user_version").fetchone()[0]
        schema.MIGRATIONS[:] = {3: TODAY, 4: TOMORROW}[number]
        assert OLD_ROWS <= len(Journal(path).check()) <= OLD_ROWS + (number == 4)
        schema.MIGRATIONS[:] = TODAY
    return 0


PROGRAMS = {
    log: journal_is_whole,
    edit: files_are_whole,
    restore: journal_is_whole,
    migrate: schema_is_one_of_two,
}


# ---------------------------------------------------------------- killing


def killed(program: Callable[[Path, Say], None], folder: Path, chance: random.Random) -> int:
    """Run a program, and kill it within something it does or between two; the last it said was safe."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            program(folder, lambda number: os.write(writing, f"{number}\n".encode()) and None)
        except BaseException:
            os.write(writing, traceback.format_exc().encode())
        os._exit(1)
    os.close(writing)
    with open(reading) as pipe:
        told = [pipe.readline() for _ in range(chance.randrange(1, 6))]
        select.select([pipe], [], [], chance.random() * LATEST)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        told += pipe.readlines()
    assert all(line.strip().isdigit() for line in told), "".join(told)
    return int(told[-1])


def prepare(folder: Path) -> None:
    (folder / "jobs").mkdir()
    (folder / "jobs/desk.toml").write_text(NOTES + 'title = "0:;"\n[[steps]]\nid = "saw"\nhands_on = "1h"\n')
    with database.writing(folder / "old.db", patience=1) as conn:
        for _ in range(OLD_ROWS):
            database.insert(conn, Fact(0, "start", "table/top/glue", 1, 7, 420))


def survive(folder: Path, times: int, seed: int) -> dict[str, int]:
    """Kill so many times in one folder. How often by program, how often within something it did, and how much
    had been said to be safe. Fails where any of it is lost."""
    prepare(folder)
    chance, safe = random.Random(seed), dict.fromkeys(PROGRAMS.values(), 0)
    found = dict.fromkeys([*(program.__name__ for program in PROGRAMS), "within", "facts", "edits"], 0)
    for turn in range(times):
        program = list(PROGRAMS)[turn % len(PROGRAMS)]
        judge = PROGRAMS[program]
        last = killed(program, folder, chance)
        found[program.__name__] += 1
        found["within"] += any(map(UNFINISHED.search, map(str, folder.rglob("*"))))
        safe[judge] = judge(folder, last)
        for file in folder.rglob("*"):
            if UNFINISHED.search(str(file)):
                file.unlink()
    found["facts"], found["edits"] = safe[journal_is_whole], safe[files_are_whole]
    return found


if __name__ == "__main__":
    times, total = int(sys.argv[1]), dict[str, int]()
    for done in range(0, times, LOT):
        with tempfile.TemporaryDirectory() as room:
            for what, number in survive(Path(room), min(LOT, times - done), seed=time.time_ns()).items():
                total[what] = total.get(what, 0) + number
        print(f"{min(done + LOT, times)} kills: {total}", flush=True)
    print(f"killed {times} times, nothing lost")
