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

from shopday.journal import backup
from shopday.journal.errors import JournalError
from shopday.journal.health import complaints
from shopday.journal.journal import Journal

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


def test_one_backup_a_day_and_the_newest_fourteen_stay(path: Path) -> None:
    log_on_days(path, 16)
    Journal(path, clock=lambda: 15 * DAY + 90).append("finish", GLUE, 1, 1)
    found = backup.backups(path)
    days = [dt.date(1970, 1, 16) - dt.timedelta(n) for n in range(14)]
    assert [file.name for file in found] == [f"journal-{day}.db" for day in days]
    assert [len(Journal(file).check()) for file in found] == list(range(16, 2, -1))
    assert sorted(path.parent.joinpath(".backups").iterdir(), reverse=True) == found


def test_a_damaged_journal_names_the_newest_good_backup_and_restores(path: Path) -> None:
    log_on_days(path, 3)
    path.write_bytes(b"\x89 no journal " * 500)
    (path.parent / ".backups/journal-1970-01-03.db").write_bytes(b"half")
    with pytest.raises(
        JournalError, match=r"damaged.*newest good backup is \.backups/journal-1970-01-02\.db;"
    ):
        Journal(path).facts()
    broken, good = path.read_bytes(), backup.newest_good(path)
    assert good is not None
    aside = backup.restore(path, good)
    assert aside is not None
    assert (aside.name, aside.read_bytes()) == ("journal-broken.db", broken)
    assert [fact.at for fact in Journal(path).facts()] == [0, 1]
    again = backup.restore(path, good)
    assert again is not None
    assert again.name == "journal-broken-2.db"


def test_an_open_journal_sees_that_another_file_took_its_place(path: Path) -> None:
    log_on_days(path, 2)
    journal = Journal(path)
    version = journal.version()
    backup.restore(path, backup.backups(path)[0])
    assert journal.version() != version


def test_a_bad_backup_is_not_restored(path: Path, tmp_path: Path) -> None:
    log_on_days(path, 1)
    before = path.read_bytes()
    (tmp_path / "bad.db").write_bytes(before[:5000])
    with pytest.raises(JournalError, match="not a sound journal; nothing was changed"):
        backup.restore(path, tmp_path / "bad.db")
    assert path.read_bytes() == before


def test_logging_goes_on_where_no_backup_can_be_made(path: Path) -> None:
    (path.parent / ".backups").write_text("a file is in the way")
    fact = Journal(path).append("start", GLUE, 1, 1)
    assert Journal(path).facts() == [fact]


def test_complaints_name_every_file_that_is_not_sound(path: Path) -> None:
    assert complaints(Journal(path)) == []
    log_on_days(path, 2)
    assert complaints(Journal(path)) == []
    (path.parent / ".backups/journal-1970-01-01.db").write_bytes(b"half")
    assert complaints(Journal(path)) == [".backups/journal-1970-01-01.db is no sound backup; delete it"]
    path.write_bytes(b"not a journal" * 100)
    damaged, _ = complaints(Journal(path))
    assert ".backups/journal-1970-01-02.db" in damaged


def test_complaint_where_there_is_no_backup(path: Path) -> None:
    log_on_days(path, 1)
    backup.backups(path)[0].unlink()
    assert [line.split(";")[0] for line in complaints(Journal(path))] == ["journal.db has no backup"]


# ---------------------------------------------------------------- locked, full, not to be written


@pytest.fixture
def locked(path: Path) -> Iterator[Path]:
    Journal(path).append("start", GLUE, 1, 1)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield path


def test_a_locked_file(locked: Path) -> None:
    journal = Journal(locked, patience=0.01)
    for ask in (lambda: journal.append("finish", GLUE, 1, 2), journal.facts, journal.undo):
        with pytest.raises(JournalError, match=r"^journal\.db: is locked by another program; try again"):
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
def test_a_folder_that_may_not_be_written_is_read_all_the_same(logged: bool) -> None:
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


def test_a_folder_in_the_journals_place(path: Path) -> None:
    path.mkdir()
    for ask in (Journal(path).facts, lambda: Journal(path).append("start", GLUE, 1, 1)):
        with pytest.raises(JournalError, match=r"^journal\.db: cannot be opened"):
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


@settings(max_examples=FEW, deadline=None)
@given(st.binary(max_size=600))
def test_any_bytes(content: bytes) -> None:
    ask_everything(content)


@settings(max_examples=FEW, deadline=None)
@given(data=st.data())
def test_a_journal_with_bytes_changed_or_missing(sound: bytes, data: st.DataObject) -> None:
    content = bytearray(sound)
    places = st.one_of(st.integers(0, 199), st.integers(0, len(content) - 1))
    for place in data.draw(st.lists(places, max_size=8)):
        content[place] = data.draw(st.integers(0, 255))
    ask_everything(bytes(content[: data.draw(st.one_of(st.none(), st.integers(0, len(content))))]))
