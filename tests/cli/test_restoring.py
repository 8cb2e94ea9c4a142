"""Damage to the journal and its backups: it is said at once, nothing is made worse, and all that is known comes back."""

from __future__ import annotations

import json
import os
import random
import shutil
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from cli_shop import Shop, flat

from shopday.journal import backup
from shopday.journal.facts import Fact
from shopday.journal.journal import Journal
from shopday.journal.schema import MIGRATIONS

sys.path.insert(0, str(Path(__file__).parents[1] / "journal"))

from bits import flips

pytestmark = pytest.mark.slow

FLIPS = 1500
STEPS = ("glue", "shape", "oil")
EFFORT = ("--effort", "0")


def live_through(shop: Shop, steps: tuple[str, ...] = STEPS, day: int = 1) -> list[Fact]:
    """Start and finish each, an hour after another; what is in the journal then."""
    for n, step in enumerate(steps):
        for deed, hour in (("start", 8 + 2 * n), ("finish", 9 + 2 * n)):
            extra = ("--anyway",) if deed == "start" else ()
            status, _ = shop.run(
                deed, f"stool/seat/{step}", *extra, *EFFORT, now=f"2026-12-{day:02d}T{hour:02d}:00"
            )
            assert status == 0, shop.err
    return facts(shop)


def facts(shop: Shop) -> list[Fact]:
    return Journal(journal(shop)).check()


def journal(shop: Shop) -> Path:
    return shop.folder / "journal.db"


def copies(shop: Shop) -> list[Path]:
    return backup.backups(journal(shop))


def refused(shop: Shop, *argv: str) -> str:
    """A command that must end with one line on stderr and change no file; the line."""
    files = [file for file in shop.folder.rglob("*.db") if file.is_file()]
    before = {file: file.read_bytes() for file in files}
    status, out = shop.run(*argv)
    assert (status, out, shop.err.count("\n")) == (2, "", 1)
    assert {file: file.read_bytes() for file in before} == before
    return shop.err


def test_every_row_of_a_file_with_a_damaged_header_is_restored(shop: Shop) -> None:
    logged = live_through(shop)
    shutil.rmtree(shop.folder / ".backups")
    journal(shop).write_bytes(bytes(16) + journal(shop).read_bytes()[16:])
    assert refused(shop, "today").startswith("journal.db: it is damaged")
    status, out = shop.run("restore")
    assert status == 0, shop.err
    assert "journal.db has 6 facts now; the last is a finish of stool/seat/oil." in flat(out)
    assert "6 facts no backup has" in flat(out)
    assert "kept as journal-broken.db" in flat(out)
    assert facts(shop) == logged


def test_facts_only_in_the_backup_or_only_in_the_damaged_file_are_merged(shop: Shop) -> None:
    first = live_through(shop, STEPS[:2])
    (copy,) = copies(shop)
    old = copy.read_bytes()
    logged = live_through(shop, STEPS[2:])
    copy.write_bytes(old)
    content = bytearray(journal(shop).read_bytes())
    content[:16] = bytes(16)
    content[content.index(b"stool/seat/glue")] ^= 1
    journal(shop).write_bytes(content)
    answer = shop.ask("restore")
    assert facts(shop) == logged
    assert (answer["facts"], answer["saved"], answer["gone"]) == (6, len(logged) - len(first), [])
    assert answer["restored"] == str(copy)


def test_unreadable_facts_are_named(shop: Shop) -> None:
    logged = live_through(shop)
    shutil.rmtree(shop.folder / ".backups")
    content = journal(shop).read_bytes().replace(b"stool/seat/shape", b"stool/seat/shade")
    journal(shop).write_bytes(content)
    status, out = shop.run("restore")
    assert status == 0, shop.err
    assert "Nobody can read its facts number 3, 4: log again what happened then." in flat(out)
    assert [(f.kind, f.address) for f in facts(shop)] == [
        (f.kind, f.address) for f in logged if not f.address.endswith("shape")
    ]


def test_a_sound_journal_is_left_alone_unless_a_file_is_named(shop: Shop) -> None:
    live_through(shop, STEPS[:1])
    (copy,) = copies(shop)
    old = shop.folder / "old.db"
    shutil.copyfile(copy, old)
    live_through(shop, STEPS[1:])
    said = refused(shop, "restore")
    assert "is sound and has all 6 facts of its backups, the last one a finish of stool/seat/oil" in said
    assert "nothing was done" in said
    status, out = shop.run("restore", str(old))
    assert status == 0, shop.err
    assert "journal.db has 2 facts now, beginning with old.db" in flat(out)
    assert "kept as journal-replaced.db" in flat(out)
    assert "4 facts in it are not in journal.db any more." in flat(out)
    assert "before-restore-journal-" in flat(out)
    assert len(Journal(shop.folder / "journal-replaced.db").check()) == 6
    assert shop.run("today", *EFFORT)[0] == 0, shop.err


@pytest.mark.parametrize("spoil", ["empty", "gone", "shorter"])
def test_a_journal_that_lost_facts_is_reported_before_anything_is_logged(shop: Shop, spoil: str) -> None:
    live_through(shop, STEPS[:1])
    early = journal(shop).read_bytes()
    logged = live_through(shop, STEPS[1:])
    if spoil == "gone":
        journal(shop).unlink()
    else:
        journal(shop).write_bytes(b"" if spoil == "empty" else early)
    lost = 4 if spoil == "shorter" else 6
    for command in (["today"], ["check"], ["start", "stool/deliver", "--anyway"], ["undo"], ["csv"]):
        said = refused(shop, *command)
        assert f"journal.db: it lacks {lost} facts that .backups/journal-" in said
        assert "the last one a finish of stool/seat/oil" in said
        assert "`shopday restore` puts them back" in said
    assert shop.run("restore")[0] == 0
    assert facts(shop) == logged


def test_a_foreign_journal_is_reported_and_can_be_merged(shop: Shop, tmp_path: Path) -> None:
    mine = live_through(shop, STEPS[:1])
    foreign = Journal(tmp_path / "other" / "journal.db")
    foreign.path.parent.mkdir()
    for n in range(5):
        foreign.append("start", "shelf/shelf/fix", 1, n)
    theirs = foreign.check()
    shutil.copyfile(foreign.path, journal(shop))
    assert "it lacks 2 facts" in refused(shop, "today")
    assert shop.run("restore")[0] == 0
    assert [(f.kind, f.address) for f in facts(shop)] == [(f.kind, f.address) for f in (*theirs, *mine)]


def test_a_journal_begun_anew_on_purpose_is_accepted(shop: Shop) -> None:
    live_through(shop, STEPS[:1])
    journal(shop).unlink()
    (shop.folder / ".backups").rename(shop.folder / "old-backups")
    assert shop.run("today", *EFFORT)[0] == 0
    assert shop.run("start", "stool/seat/glue", *EFFORT)[0] == 0
    assert len(facts(shop)) == 1


def test_an_empty_backup_is_no_good_one(shop: Shop) -> None:
    logged = live_through(shop)
    (copy,) = copies(shop)
    later = copy.with_name("journal-2999-01-01.db")
    later.touch()
    assert shop.run("check")[0] == 2
    assert shop.err.startswith(".backups/journal-2999-01-01.db: this backup is empty")
    journal(shop).write_bytes(b"no journal" * 100)
    assert f"the newest good backup is .backups/{copy.name}" in refused(shop, "today")
    assert shop.run("restore")[0] == 0
    assert facts(shop) == logged


def test_a_newer_journal_is_not_replaced(shop: Shop) -> None:
    live_through(shop)
    with closing(sqlite3.connect(journal(shop))) as conn:
        conn.execute("PRAGMA user_version = 9")
    assert f"written by a newer shopday (schema 9, this one knows {len(MIGRATIONS)})" in refused(
        shop, "restore"
    )
    assert "written by a newer shopday" in refused(shop, "restore", str(copies(shop)[0]))


def test_failed_backups_are_reported_with_every_fact_and_by_check(shop: Shop) -> None:
    live_through(shop, STEPS[:1])
    (copy,) = copies(shop)
    kept = copy.read_bytes()
    shutil.rmtree(shop.folder / ".backups")
    (shop.folder / ".backups").write_text("in the way")
    status, out = shop.run("start", "stool/seat/shape", "--anyway", *EFFORT)
    assert status == 0, shop.err
    assert "No backup of it could be made: .backups cannot be written" in flat(out)
    (shop.folder / ".backups").unlink()
    (shop.folder / ".backups").mkdir()
    copy.write_bytes(kept)
    status, out = shop.run("check")
    assert status == 0, shop.err
    assert f"The newest backup, .backups/{copy.name}, lacks the last 1 of 3 facts" in flat(out)


# ---------------------------------------------------------------- bits


def test_no_flipped_bit_changes_a_fact_unnoticed(shop: Shop) -> None:
    """1,500 random bits, one at a time; a longer run is `python tests/journal/bits.py 10000`."""
    logged = live_through(shop)
    assert flips(journal(shop).read_bytes(), logged, FLIPS, random.Random(1))["other"] == 0


def test_an_unknown_kind_of_fact_is_reported(shop: Shop) -> None:
    live_through(shop)
    journal(shop).write_bytes(journal(shop).read_bytes().replace(b"finish", b"finisj", 1))
    assert "is of no kind there is: 'finisj'" in refused(shop, "csv")


def test_missing_last_rows_are_reported(shop: Shop) -> None:
    live_through(shop)
    shutil.rmtree(shop.folder / ".backups")
    with closing(sqlite3.connect(journal(shop))) as conn, conn:
        conn.execute("DROP TRIGGER facts_stay")
        conn.execute("DELETE FROM facts WHERE id = 6")
    assert "the last rows are missing" in refused(shop, "today")


# ---------------------------------------------------------------- two computers, and what check offers


def test_a_conflict_copy_is_noticed_and_merged_fact_by_fact(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    live_through(shop, STEPS[:1])
    theirs = shop.folder / "journal (conflicted copy).db"
    shutil.copyfile(journal(shop), theirs)
    other = Journal(theirs)
    other.append("start", "stool/seat/shape", 1, 29_000_000)
    other.undo()
    other.append("start", "shelf/shelf/fix", 1, 29_000_000, people=["maker"])
    mine = live_through(shop, STEPS[2:])
    shutil.rmtree(shop.folder / ".backups/", ignore_errors=True)
    assert shop.run("check")[0] == 2
    assert (
        "journal (conflicted copy).db: it is another version of the journal, with 3 facts of its own"
        in shop.err
    )
    shop.run("undo", *EFFORT)
    assert "another version of the journal, with 3 facts of its own. `shopday check --fix`" in flat(
        shop.run("redo", *EFFORT)[1]
    )
    mine = facts(shop)
    shutil.rmtree(shop.folder / ".backups/", ignore_errors=True)
    says(monkeypatch, "y\ny\n")
    assert shop.run("check", "--fix")[0] == 0, shop.err
    assert "3 facts were added to journal.db." in shop.err
    merged = facts(shop)
    assert merged[: len(mine)] == mine
    assert [(f.kind, f.address) for f in merged[len(mine) :]] == [
        ("start", "stool/seat/shape"),
        ("undo", "stool/seat/shape"),
        ("start", "shelf/shelf/fix"),
    ]
    assert merged[-2].data == {"of": merged[-3].id}
    assert shop.run("check")[0] == 0, shop.err


def says(monkeypatch: pytest.MonkeyPatch, answers: str) -> None:
    import io

    monkeypatch.setattr("sys.stdin", io.StringIO(answers))


def test_check_offers_each_remedy_and_a_no_changes_nothing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    logged = live_through(shop)
    (copy,) = copies(shop)
    spoilt = copy.with_name("journal-2026-11-01.db")
    spoilt.write_bytes(b"half")
    journal(shop).write_bytes(b"no journal" * 100)
    (shop.folder / ".plan.json").write_text("{")
    says(monkeypatch, "")
    before = {file: file.read_bytes() for file in shop.folder.rglob("*") if file.is_file()}
    assert shop.run("check", "--fix")[0] == 2
    assert {file: file.read_bytes() for file in shop.folder.rglob("*") if file.is_file()} == before
    says(monkeypatch, "yes\ny\ny\n")
    status, out = shop.run("check", "--fix", "--json")
    assert status == 0, shop.err
    assert json.loads(out)["faults"] == []
    assert [line.partition(" [y/N]")[0] for line in shop.err.splitlines() if "[y/N]" in line] == [
        "Put the journal together from its backups and all that can be read of it, and keep this file beside it?",
        "Keep it under another name, so that it counts as a backup no more?",
        "Delete it?",
    ]
    assert facts(shop) == logged
    assert spoilt.with_name("broken-journal-2026-11-01.db").read_bytes() == b"half"
    assert (shop.folder / "journal-broken.db").exists()
    assert not (shop.folder / ".plan.json").exists()


def test_a_missing_backup_is_offered(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    logged = live_through(shop)
    shutil.rmtree(shop.folder / ".backups")
    says(monkeypatch, "y\n")
    assert shop.run("check", "--fix")[0] == 0, shop.err
    assert "A backup was made." in shop.err
    (copy,) = copies(shop)
    assert Journal(copy).check() == logged


def test_misnamed_job_files_are_reported_and_renamed_over_no_other(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In whatever letters; a job put away in a folder is remarked upon and left where it is."""
    jobs = shop.folder / "jobs"
    text = (jobs / "stool.toml").read_text()
    for name in ("Stool.toml", "Wall Rack.toml", "shelf.TOML", "desk.TOML"):
        (jobs / name).write_text(text.replace("Milking stool", name))
    (jobs / "old").mkdir()
    (jobs / "old" / "bench.toml").write_text(text)
    assert shop.run("today", *EFFORT)[0] == 3
    assert [line.partition("rename it to ")[2] for line in shop.err.splitlines()] == [
        "stool-2.toml", "wall-rack.toml", "desk.toml", "shelf-2.toml",
    ]  # fmt: skip
    says(monkeypatch, "y\n" * 4)
    status, out = shop.run("check", "--fix")
    assert status == 0, shop.err
    assert "In jobs/old 1 file is not read" in flat(out)
    assert {file.name for file in jobs.glob("*.*")} == {
        "desk.toml", "shelf.toml", "shelf-2.toml", "stool.toml", "stool-2.toml", "wall-rack.toml",
    }  # fmt: skip
    assert (jobs / "stool.toml").read_text() == text
    assert "Stool.toml" in (jobs / "stool-2.toml").read_text()


@pytest.mark.parametrize("name", ["journal.db", "journal.db-journal"])
@pytest.mark.parametrize("make", [os.mkdir, os.mkfifo])
def test_anything_but_a_file_in_the_journals_place_is_reported(
    shop: Shop, name: str, make: Callable[[Path], None]
) -> None:
    if name.endswith("-journal"):
        live_through(shop, STEPS[:1])
        shutil.rmtree(shop.folder / ".backups")
    make(shop.folder / name)
    for command in (["today"], ["start", "stool/deliver", "--anyway"], ["check"]):
        assert f"{name}: it is no plain file; move it away" in refused(shop, *command)


def test_a_jobs_folder_that_links_to_itself_is_reported(shop: Shop) -> None:
    shutil.rmtree(shop.folder / "jobs")
    (shop.folder / "jobs").symlink_to("jobs")
    said = refused(shop, "today")
    assert said.startswith("jobs: it cannot be read (Too many levels of symbolic links)")
    assert "chmod" not in said


@pytest.mark.parametrize(
    ("text", "line"), [("a = 1\nb = " + "[" * 9999 + "\n", 2), ("a = 1\n\nb = " + "9" * 9999 + "\n", 3)]
)
def test_a_value_too_large_to_read_has_its_line(shop: Shop, text: str, line: int) -> None:
    (shop.folder / "shop.toml").write_text(text)
    assert refused(shop, "today").startswith(f"shop.toml:{line}: ")


def test_facts_are_named_in_words(shop: Shop) -> None:
    live_through(shop, STEPS[:1])
    assert shop.run("again", "stool/seat/glue", *EFFORT, now="2026-12-01T10:00")[0] == 0, shop.err
    assert "the last one a further pass of stool/seat/glue" in refused(shop, "restore")
