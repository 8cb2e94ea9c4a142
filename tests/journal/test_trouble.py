"""Disks that are full, folders that may not be written, files that are locked or damaged.

A longer search for damage that is not told in words: SHOPDAY_FUZZ=10000 python -m pytest tests/journal/test_trouble.py
"""

from __future__ import annotations

import datetime as dt
import os
import re
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopday.journal import backup, database, schema
from shopday.journal.errors import JournalError, was_moved
from shopday.journal.health import complaints, remark
from shopday.journal.journal import Journal
from shopday.journal.journal_restore import restore
from shopday.journal.page_salvage import salvage

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]
GLUE = "table/top/glue"
DAY = 86400
FEW = int(os.environ.get("SHOPDAY_FUZZ", "150"))
posix = pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions and limits")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def said(script: str, *arguments: object) -> str:
    """What a program of its own prints; it must end well."""
    command = [sys.executable, "-c", script, *map(str, arguments)]
    return subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True, timeout=60).stdout


# ---------------------------------------------------------------- backups


def log_on_days(path: Path, days: int) -> None:
    for day in range(days):
        journal = Journal(path)
        journal.clock = partial(float, day * DAY + 60)
        journal.append("start", GLUE, 1, day)


def test_one_backup_a_day_is_made_and_the_newest_fourteen_stay(path: Path) -> None:
    log_on_days(path, 16)
    Journal(path, clock=lambda: 15 * DAY + 90).append("finish", GLUE, 1, 1)
    found = backup.backups(path)
    days = [dt.date(1970, 1, 16) - dt.timedelta(n) for n in range(14)]
    assert [file.name for file in found] == [f"journal-{day}.db" for day in days]
    assert [len(Journal(file).check()) for file in found] == [17, *range(15, 2, -1)]
    assert sorted(path.parent.joinpath(".backups").iterdir(), reverse=True) == found


def test_a_damaged_journal_names_the_newest_good_backup_and_is_restored(path: Path) -> None:
    log_on_days(path, 3)
    path.write_bytes(b"\x89 no journal " * 500)
    (path.parent / ".backups/journal-1970-01-03.db").write_bytes(b"half")
    with pytest.raises(
        JournalError, match=r"damaged.*newest good backup is \.backups/journal-1970-01-02\.db;"
    ):
        Journal(path).facts()
    broken, good = path.read_bytes(), backup.newest_good(path)
    aside = restore(path).aside
    assert aside is not None
    assert (aside.name, aside.read_bytes()) == ("journal-broken.db", broken)
    assert [fact.at for fact in Journal(path).facts()] == [0, 1]
    path.write_bytes(broken)
    again = restore(path, good).aside
    assert again is not None
    assert again.name == "journal-broken-2.db"


def test_an_open_journal_notices_that_its_file_was_replaced(path: Path) -> None:
    log_on_days(path, 2)
    journal = Journal(path)
    version = journal.version()
    restore(path, backup.backups(path)[0])
    assert journal.version() != version


def test_a_bad_backup_is_not_restored(path: Path, tmp_path: Path) -> None:
    log_on_days(path, 1)
    before = path.read_bytes()
    bad, empty, newer = (tmp_path / f"{name}.db" for name in ("bad", "empty", "newer"))
    bad.write_bytes(before[:5000])
    empty.touch()
    newer.write_bytes(before)
    with closing(sqlite3.connect(newer)) as conn:
        conn.execute("PRAGMA user_version = 7")
    for source, words in (
        (bad, "bad.db is not a sound journal"),
        (empty, "empty.db is an empty journal"),
        (newer, "newer.db: it was written by a newer shopday"),
    ):
        with pytest.raises(JournalError, match=rf"^{words}.*; nothing was changed$"):
            restore(path, source)
    assert path.read_bytes() == before


def test_logging_works_without_a_possible_backup(path: Path) -> None:
    (path.parent / ".backups").write_text("a file is in the way")
    journal = Journal(path)
    fact = journal.append("start", GLUE, 1, 1)
    assert Journal(path).facts() == [fact]
    assert journal.copy_trouble.startswith(".backups cannot be written (")


def test_complaints_name_every_damaged_file(path: Path) -> None:
    assert complaints(Journal(path)) == []
    log_on_days(path, 2)
    assert complaints(Journal(path)) == []
    (path.parent / ".backups/journal-1970-01-01.db").write_bytes(b"half")
    bad = (".backups/journal-1970-01-01.db", "this backup is not sound", "`shopday check --fix` puts it away")
    assert complaints(Journal(path)) == [bad]
    path.write_bytes(b"not a journal" * 100)
    (file, wrong, right), other = complaints(Journal(path))
    assert (file, wrong, other) == ("journal.db", "it is damaged (file is not a database)", bad)
    assert right.startswith("the newest good backup is .backups/journal-1970-01-02.db")


def test_a_journal_without_a_backup_is_remarked_on(path: Path) -> None:
    assert remark(Journal(path)) == ""
    log_on_days(path, 1)
    assert remark(Journal(path)) == ""
    backup.backups(path)[0].unlink()
    assert remark(Journal(path)).startswith("journal.db has no backup")


def test_every_fact_is_in_the_day_s_backup_at_once(path: Path) -> None:
    journal = Journal(path)
    journal.append("start", GLUE, 1, 1)
    (copy,) = backup.backups(path)
    for act in (lambda: journal.append("finish", GLUE, 1, 2), journal.undo, journal.redo):
        act()
        assert Journal(copy).check() == journal.check()
    assert backup.backups(path) == [copy]


def test_damaged_and_foreign_backups_are_not_changed(path: Path) -> None:
    journal = Journal(path, clock=lambda: 60)
    journal.append("start", GLUE, 1, 1)
    (copy,) = backup.backups(path)
    copy.write_bytes(b"half")
    journal.append("finish", GLUE, 1, 2)
    second = copy.with_name("journal-1970-01-01-2.db")
    assert (copy.read_bytes(), Journal(second).check()) == (b"half", journal.check())
    other = Journal(path.with_name("other.db"), clock=lambda: 60)
    other.append("start", "desk/saw", 1, 1)
    copy.write_bytes(other.path.read_bytes())
    assert backup.daily(path, 60, 1) == ""
    assert Journal(copy).check() == other.check()


@pytest.mark.parametrize("year", [1985, 2999])
def test_a_clock_set_to_another_year_costs_no_facts(path: Path, year: int) -> None:
    log_on_days(path, 3)
    then = dt.datetime(year, 1, 1, tzinfo=dt.UTC).timestamp()
    for day in range(20):
        journal = Journal(path)
        journal.clock = partial(float, then + day * DAY)
        journal.append("start", GLUE, 1, day)
    assert len(backup.backups(path)) == 14
    newest = backup.newest_good(path)
    assert newest is not None
    assert Journal(newest).check() == Journal(path).check()
    log_on_days(path, 1)
    path.unlink()
    restore(path)
    assert len(Journal(path).check()) == 24


def test_files_left_by_a_killed_program_are_deleted(path: Path) -> None:
    log_on_days(path, 1)
    left, fresh = path.with_name("journal.db.7.part"), path.with_name("journal.db.8.part")
    for file in (left, fresh):
        file.write_bytes(b"half")
    os.utime(left, (0, 0))
    empty = path.parent / ".backups/journal-1970-01-02.db"
    empty.touch()
    path.unlink()
    restore(path)
    assert (left.exists(), fresh.exists()) == (False, True)
    Journal(path, clock=lambda: 5 * DAY).append("start", GLUE, 1, 1)
    assert not empty.exists()


def test_nothing_logged_is_lost_to_a_restore_meanwhile(path: Path) -> None:
    """A file another program is writing to is not replaced; one that waits for a lock finds the new one."""
    log_on_days(path, 2)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(JournalError, match=r"^journal\.db: it is locked by another program"):
            restore(path, backup.backups(path)[0])
        other.execute("ROLLBACK")
    with database.opened(path, 1.0) as waiting:
        restore(path, backup.backups(path)[-1])
        waiting.execute("BEGIN IMMEDIATE")
        with pytest.raises(sqlite3.OperationalError) as found:
            waiting.execute("INSERT INTO facts VALUES (9, 'start', '', 1, 1, 1, '{}', '')")
    assert was_moved(found.value)
    assert len(Journal(path).check()) == 1


def test_a_fact_goes_to_the_file_that_was_restored_meanwhile(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log_on_days(path, 2)
    bring_up = schema.bring_up

    def restored_meanwhile(conn: sqlite3.Connection) -> None:
        monkeypatch.setattr(schema, "bring_up", bring_up)
        other = backup.backups(path)[0]
        path.rename(path.with_name("aside.db"))
        path.write_bytes(other.read_bytes())
        bring_up(conn)

    monkeypatch.setattr(schema, "bring_up", restored_meanwhile)
    Journal(path).append("finish", GLUE, 1, 7)
    assert [fact.kind for fact in Journal(path).check()] == ["start", "start", "finish"]


def test_a_linked_journal_or_backup_folder_is_not_followed(tmp_path: Path) -> None:
    shop, elsewhere = tmp_path / "shop", tmp_path / "elsewhere"
    shop.mkdir()
    elsewhere.mkdir()
    Journal(elsewhere / "notes.db").append("start", GLUE, 1, 1)
    before = sorted((file.name, file.stat().st_mtime_ns) for file in elsewhere.iterdir())
    path = shop / "journal.db"
    path.symlink_to(elsewhere / "notes.db")
    for ask in (Journal(path).facts, lambda: Journal(path).append("start", GLUE, 1, 1), Journal(path).check):
        assert complaint_of(ask) == "journal.db: it is a link to elsewhere; put the file itself here"
    path.unlink()
    (shop / ".backups").symlink_to(elsewhere)
    Journal(path).append("start", GLUE, 1, 1)
    assert sorted((file.name, file.stat().st_mtime_ns) for file in elsewhere.iterdir()) == before


# ---------------------------------------------------------------- locked, full, not to be written


@pytest.fixture
def locked(path: Path) -> Iterator[Path]:
    Journal(path).append("start", GLUE, 1, 1)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield path


def test_a_locked_file_is_reported(locked: Path) -> None:
    journal = Journal(locked, patience=0.01)
    for ask in (lambda: journal.append("finish", GLUE, 1, 2), journal.facts, journal.undo):
        with pytest.raises(JournalError, match=r"^journal\.db: it is locked by another program; try again"):
            ask()


FULL = """
import resource, sys
from pathlib import Path
from shopday.journal.errors import JournalError
from shopday.journal.journal import Journal
resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000))
journal, logged = Journal(Path(sys.argv[1])), 0
try:
    while logged < 100:
        journal.append("start", "a/b", 1, 1, why="x" * 3000)
        logged += 1
except JournalError as error:
    print(logged, error)
"""


@posix
def test_a_full_disk_keeps_what_was_logged(path: Path) -> None:
    count, words = said(FULL, path).strip().split(" ", 1)
    assert 0 < int(count) < 100
    assert "disk" in words
    assert "nothing was logged" in words
    assert len(Journal(path).check()) == int(count)
    assert Journal(path).append("start", GLUE, 1, 1).id == int(count) + 1


READ_ONLY = """
import os, sys
from pathlib import Path
from shopday.journal.errors import JournalError
from shopday.journal.journal import Journal
if os.getuid() == 0:
    os.setuid(65534)
journal = Journal(Path(sys.argv[1]))
print(len(journal.facts()), journal.version() != 0)
try:
    journal.append("start", "a/b", 1, 1)
except JournalError as error:
    print(error)
"""


@posix
@pytest.mark.parametrize("logged", [True, False])
def test_a_read_only_folder_can_be_read(logged: bool) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if logged:
            Journal(folder / "journal.db").append("start", GLUE, 1, 1)
            (folder / "journal.db").chmod(0o444)
        folder.chmod(0o555)
        first, words = said(READ_ONLY, folder / "journal.db").splitlines()
        folder.chmod(0o755)
    assert first == ("1 True" if logged else "0 False")
    assert words.startswith("journal.db: ")
    assert "writ" in words


def test_a_folder_in_the_journals_place_is_reported(path: Path) -> None:
    path.mkdir()
    for ask in (Journal(path).facts, lambda: Journal(path).append("start", GLUE, 1, 1)):
        with pytest.raises(JournalError, match=r"^journal\.db: it is no plain file; move it away"):
            ask()


# ---------------------------------------------------------------- damage of every kind


@pytest.fixture(scope="module")
def sound() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        journal = Journal(path)
        for i in range(20):
            journal.append("start", GLUE, i, i, why="y" * 300)
        journal.undo()
        return path.read_bytes()


def ask_everything(content: bytes) -> None:
    """Whatever the file holds, nothing but JournalError is raised, in one line."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        path.write_bytes(content)
        journal = Journal(path, patience=0.01)
        for ask in (
            journal.facts,
            journal.check,
            journal.version,
            lambda: journal.append("start", GLUE, 1, 1),
            journal.undo,
        ):
            complaint = complaint_of(ask)
            assert complaint == "" or re.fullmatch(r"journal\.db[ :].*", complaint)


def complaint_of(ask: Callable[[], object]) -> str:
    try:
        ask()
    except JournalError as error:
        return str(error)
    return ""


@pytest.mark.timeout(0 if FEW > 200 else 240)
@settings(max_examples=FEW, deadline=None)
@given(st.binary(max_size=600))
def test_any_bytes(content: bytes) -> None:
    ask_everything(content)


@pytest.mark.timeout(0 if FEW > 200 else 240)
@settings(max_examples=FEW, deadline=None)
@given(data=st.data())
def test_a_journal_with_bytes_changed_or_missing(sound: bytes, data: st.DataObject) -> None:
    content = bytearray(sound)
    places = st.one_of(st.integers(0, 199), st.integers(0, len(content) - 1))
    for place in data.draw(st.lists(places, max_size=8)):
        content[place] = data.draw(st.integers(0, 255))
    ask_everything(bytes(content[: data.draw(st.one_of(st.none(), st.integers(0, len(content))))]))


@pytest.mark.parametrize(
    "cell",
    [
        bytes([16, 1, 23, *bytes(15)]),  # the header is said to be longer than the row
        bytes([0x87, 0x68, 1, 9, *bytes(512)]) + b"\x00\x00\x00\x02",  # a page that the file ends within
    ],
)
def test_reading_a_damaged_file_terminates(cell: bytes) -> None:
    assert salvage(cell + bytes(40)).facts == ()
    assert salvage(bytes(3) + cell).facts == ()
