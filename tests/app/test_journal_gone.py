"""The journal emptied while the app is open: the app stays with what it knows, logs nothing, and says the way out."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from app_reading import news, press_each, toasts
from app_shop import NOW, OpenApp

from shopday.journal.journal import Journal
from shopday.journal.journal_restore import merge, restore
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


async def test_an_emptied_journal_is_reported_and_not_believed(open_app: OpenApp, shop: Path) -> None:
    journal = shop / "journal.db"
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "f")
        known, plan = Journal(journal).check(), app.session.state.plan
        assert known
        journal.write_bytes(b"")
        app.session.check_files()
        await pilot.pause()
        assert "journal.db: it lacks" in news(app)
        assert "`shopday restore` puts them back" in news(app)
        assert app.session.state.plan == plan
        await press_each(pilot, "f")
        assert any("it lacks" in toast for toast in toasts(app))
        assert journal.read_bytes() == b""
        restore(journal)
        app.session.check_files()
        await pilot.pause()
        assert "it lacks" not in news(app)
        await press_each(pilot, "u")
        assert len(Journal(journal).check()) == len(known) + 1


async def test_facts_without_a_backup_are_reported(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        shutil.rmtree(shop / ".backups", ignore_errors=True)
        (shop / ".backups").write_text("in the way")
        await press_each(pilot, "f")
        app.session.check_files()
        await pilot.pause()
        assert "No backup of it could be made: .backups cannot be written" in news(app)
        (shop / ".backups").unlink()
        await press_each(pilot, "u")
        app.session.check_files()
        assert "No backup" not in news(app)


async def test_another_computers_version_is_reported_until_its_facts_are_added(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "f")
        journal, theirs = shop / "journal.db", shop / "journal (conflicted copy).db"
        shutil.copyfile(journal, theirs)
        Journal(theirs).append("arrived", "shelf/brackets", 1, 29_000_000)
        app.session.check_files()
        await pilot.pause()
        assert "journal (conflicted copy).db: it is another version of the journal, with 1 fact" in news(app)
        assert "`shopday check --fix`\nadds them" in news(app)
        assert merge(journal, [theirs]) == 1
        app.session.check_files()
        await pilot.pause()
        assert "another version" not in news(app)


async def test_facts_that_have_no_backup_since_an_earlier_day_are_told_at_the_start(
    open_app: OpenApp, shop: Path
) -> None:
    OpenShop(shop, NOW).write("reading", "", 0, 29_000_000, celsius=20)
    shutil.rmtree(shop / ".backups")
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        app.session.check_files()
        await pilot.pause()
        assert "journal.db has no backup" in news(app)
        await press_each(pilot, "f")
        app.session.check_files()
        await pilot.pause()
        assert "no backup" not in news(app)
