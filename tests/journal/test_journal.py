"""Facts stay: over closing, over programs, in folders that may not be written, for older and newer files."""

from __future__ import annotations

import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopday.journal import database, schema
from shopday.journal.errors import JournalError
from shopday.journal.facts import Fact
from shopday.journal.journal import Journal, journal_rows
from shopday.journal.state import fold

GLUE = "table/top/glue"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def test_nothing_is_made_before_the_first_fact(path: Path) -> None:
    journal = Journal(path)
    assert (journal.facts(), journal.undo(), journal.check(), journal_rows(journal)) == ([], None, [], [])
    assert journal.version() == Journal(path).version()
    assert list(path.parent.iterdir()) == []


def test_a_fact_is_visible_to_the_next_reader(path: Path) -> None:
    fact = Journal(path, clock=lambda: 1234.5).append("start", GLUE, 2, 20, people=["ann"], why='"[/b]\x1b')
    assert Journal(path).facts() == [fact]
    assert (fact.id, fact.kind, fact.address, fact.pass_no, fact.at, fact.written) == (
        1, "start", GLUE, 2, 20, 1234,
    )  # fmt: skip
    assert fact.data == {"people": ["ann"], "why": '"[/b]\x1b'}


def test_the_version_changes_with_every_write_of_any_program(path: Path) -> None:
    mine, other = Journal(path), Journal(path)
    seen = [mine.version()]
    for write in (
        lambda: other.append("start", GLUE, 1, 1),
        lambda: other.append("start", GLUE, 1, 1),
        other.undo,
    ):
        write()
        seen.append(mine.version())
        assert mine.version() == seen[-1]
        assert mine.facts() == other.facts()
    assert len(set(seen)) == 4


def test_only_what_is_new_is_read_again(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A journal of many years costs no more than a new one."""
    mine, read, fact_of = Journal(path), list[object](), database.fact_of

    def noted(row: tuple[object, ...]) -> Fact:
        read.append(row[0])
        return fact_of(row)

    for n in range(1, 5):
        Journal(path).append("start", GLUE, n, n)
        with monkeypatch.context() as patch:
            patch.setattr(database, "fact_of", noted)
            assert [fact.pass_no for fact in mine.facts()] == list(range(1, n + 1))
    assert read[-4:] == [1, 2, 3, 4]
    assert len(read) <= 6  # a little more at first, to see that no backup knows more


def test_a_replaced_file_is_read_from_its_start(path: Path) -> None:
    mine = Journal(path)
    for n in range(1, 4):
        mine.append("start", GLUE, n, n)
    assert len(mine.facts()) == 3
    (path.parent / ".backups").rename(path.parent / "moved")
    other = Journal(path.with_name("other.db"))
    kept = [other.append("finish", GLUE, n, n) for n in range(1, 6)]
    other.path.replace(path)
    assert mine.facts() == kept


def test_undo_undoes_the_last_fact_and_loses_no_row(path: Path) -> None:
    journal = Journal(path, clock=lambda: 600)
    first, second = journal.append("start", GLUE, 1, 1), journal.append("finish", GLUE, 1, 2)
    assert [journal.undo(), journal.undo(), journal.undo()] == [second, first, None]
    assert journal.facts() == []
    assert [(row[1], row[6], row[7]) for row in journal_rows(journal)] == [
        ("start", "{}", False),
        ("finish", "{}", False),
        ("undo", '{"of": 2}', False),
        ("undo", '{"of": 1}', False),
    ]
    for kind in ("undo", "whistled"):
        with pytest.raises(ValueError, match="undo"):
            journal.append(kind, GLUE, 1, 1)


def test_no_statement_changes_or_removes_a_row(path: Path) -> None:
    Journal(path).append("start", GLUE, 1, 1)
    with sqlite3.connect(path) as conn:
        for statement in ("DELETE FROM facts", "UPDATE facts SET at = 0"):
            with pytest.raises(sqlite3.IntegrityError, match="facts"):
                conn.execute(statement)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.one_of(st.none(), st.tuples(st.sampled_from(("start", "finish", "again")), st.integers(0, 9)))
    )
)
def test_the_file_replays_to_what_was_done(told: list[tuple[str, int] | None]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path, left = Path(folder) / "journal.db", []
        for deed in told:
            if deed is not None:
                left.append(Journal(path).append(deed[0], GLUE, 1, deed[1]))
            else:
                assert Journal(path).undo() == (left.pop() if left else None)
        assert Journal(path).facts() == left
        assert fold(Journal(path).all_facts()) == fold(left)


def first_release(path: Path, rows: list[tuple[object, ...]]) -> None:
    """A file as the first release wrote it, in words of its own: what `schema` says may change."""
    with closing(sqlite3.connect(path)) as conn, conn:
        conn.execute(
            "CREATE TABLE facts (id INTEGER PRIMARY KEY, kind TEXT NOT NULL, address TEXT NOT NULL, "
            "pass_no INTEGER NOT NULL, at INTEGER NOT NULL, written INTEGER NOT NULL, data TEXT NOT NULL)"
        )
        conn.execute(
            "CREATE TRIGGER facts_hold BEFORE UPDATE ON facts BEGIN SELECT RAISE(ABORT, 'facts hold'); END"
        )
        conn.executemany("INSERT INTO facts VALUES (?, ?, ?, ?, ?, ?, ?)", rows)
        conn.execute("PRAGMA user_version = 1")


OLD = [
    (1, "start", GLUE, 1, 7, 420, '{"people": []}'),
    (2, "finish", GLUE, 1, 9, 540, "{}"),
    (3, "undo", GLUE, 1, 9, 550, '{"of": 2}'),
]


def test_old_journals_are_read_without_writing_and_migrated_with_the_next_fact(path: Path) -> None:
    first_release(path, OLD)
    before = path.read_bytes()
    start = Fact(1, "start", GLUE, 1, 7, 420, {"people": []})
    assert Journal(path).facts() == [start]
    assert path.read_bytes() == before
    finish = Journal(path).append("finish", GLUE, 1, 11)
    assert finish.id == 4
    assert Journal(path).facts() == [start, finish]
    with closing(sqlite3.connect(path)) as conn:
        assert (
            conn.execute("SELECT id, kind, address, pass_no, at, written, data FROM facts").fetchmany(3)
            == OLD
        )
        assert len({sum for (sum,) in conn.execute("SELECT sum FROM facts WHERE length(sum) = 16")}) == 4
        with pytest.raises(sqlite3.IntegrityError, match="facts hold"):
            conn.execute("UPDATE facts SET at = 0")


def test_backups_of_the_first_release_are_still_good(path: Path) -> None:
    first_release(path, OLD)
    (path.parent / ".backups").mkdir()
    copy = path.parent / ".backups/journal-1970-01-01.db"
    first_release(copy, OLD[:2])
    journal = Journal(path, clock=lambda: 600)
    journal.append("finish", GLUE, 1, 11)
    assert Journal(copy).check() == journal.check()
    path.unlink()
    first_release(path, OLD[:2])
    with pytest.raises(JournalError, match=r"lacks 2 facts that \.backups/journal-1970-01-01\.db has"):
        journal.facts()


def test_a_newer_schema_is_refused_and_not_changed(path: Path) -> None:
    Journal(path).append("start", GLUE, 1, 1)
    with sqlite3.connect(path) as conn:
        conn.execute("PRAGMA user_version = 7")
    before = path.read_bytes()
    words = r"^journal\.db: it was written by a newer shopday \(schema 7, this one knows 3\); update shopday$"
    asks: list[Any] = [Journal(path).facts, Journal(path).version, Journal(path).undo, Journal(path).check]
    for ask in (*asks, lambda: Journal(path).append("start", GLUE, 1, 1)):
        with pytest.raises(JournalError, match=words):
            ask()
    assert path.read_bytes() == before


def test_an_older_schema_is_migrated_wholly_or_not_at_all(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fact = Journal(path).append("start", GLUE, 1, 1)
    grow = "ALTER TABLE facts ADD COLUMN who TEXT NOT NULL DEFAULT ''"
    monkeypatch.setattr(schema, "MIGRATIONS", [*schema.MIGRATIONS, (grow, "no such statement")])
    with pytest.raises(JournalError):
        Journal(path).append("finish", GLUE, 1, 2)
    monkeypatch.setattr(schema, "MIGRATIONS", [*schema.MIGRATIONS[:3], (grow,)])
    assert Journal(path).facts() == [fact]
    Journal(path).append("finish", GLUE, 1, 2)
    with sqlite3.connect(path) as conn:
        assert conn.execute("PRAGMA user_version").fetchone() == (4,)
        assert conn.execute("SELECT who FROM facts").fetchall() == [("",), ("",)]


def test_a_file_of_another_program_is_not_written_to(path: Path) -> None:
    with sqlite3.connect(path) as conn:
        conn.execute("CREATE TABLE recipes (id)")
    before = path.read_bytes()
    with pytest.raises(JournalError, match="not the tables of a journal"):
        Journal(path).append("start", GLUE, 1, 1)
    assert path.read_bytes() == before


@pytest.mark.parametrize(("pass_no", "at"), [(1, -1), (1, 10**12), (-1, 1), (10**9, 1)])
def test_absurd_numbers_are_neither_written_nor_read(path: Path, pass_no: int, at: int) -> None:
    journal = Journal(path)
    with pytest.raises(JournalError, match="time after 1970"):
        journal.append("start", GLUE, pass_no, at)
    journal.append("start", GLUE, 1, 1)
    with sqlite3.connect(path) as conn:
        conn.execute("INSERT INTO facts VALUES (2, 'start', ?, ?, ?, 1, '{}', '')", (GLUE, pass_no, at))
    with pytest.raises(JournalError, match="damaged"):
        journal.facts()


@pytest.mark.parametrize("value", ["'noon'", "x'00ff'", "1.5"])
def test_a_minute_that_is_no_number_counts_as_damage(path: Path, value: str) -> None:
    Journal(path).append("start", GLUE, 1, 1)
    with sqlite3.connect(path) as conn:
        conn.execute(f"INSERT INTO facts VALUES (2, 'start', '', 1, {value}, 1, '{{}}', '')")
    with pytest.raises(JournalError, match="row 2 is not a fact"):
        Journal(path).facts()
