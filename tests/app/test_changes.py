"""Changes from the app: each shows what it moves, is kept or taken back, and leaves the rest of the file alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choose, news, press_each, read, rows_text, toasts, told_wrong, until
from app_shop import NOW, OpenApp
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.actions.pin_actions import NO_PIN
from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.widgets.choices import Choices
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import PlannedStep
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow

LECTERN = "pear-lectern"


def step_named(app: ShopdayApp, name: str, job: str = LECTERN) -> PlannedStep:
    assert app.session.state.plan is not None
    return next(step for step in app.session.state.plan.steps if (step.job, step.name) == (job, name))


async def typed(pilot: Pilot[None], blank: str, text: str) -> None:
    pilot.app.screen.query_one(f"#{blank}", Input).value = text
    await pilot.press("enter")
    await pilot.pause()


async def test_an_overrun_is_logged_and_undone(open_app: OpenApp, shop: Path) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    before = path.read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("o")
        await pilot.pause()
        await typed(pilot, "answer", "6h")
        assert "takes 6h 35m" in read(app, "#title")
        await pilot.press("k")
        await pilot.pause()
        changed = path.read_text()
        assert 'hands_on = "6h 35m"' in changed or '"6h 35m"' in changed
        assert [line for line in before.decode().splitlines() if line.startswith("#")] == [
            line for line in changed.splitlines() if line.startswith("#")
        ]
        await pilot.press("u")
        await pilot.pause()
        assert path.read_bytes() == before


async def test_a_step_is_pinned_to_a_time_and_unpinned(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.step_actions.pin(step_named(app, "Sand the stand"))
        await pilot.pause()
        await typed(pilot, "answer", "fri 14:00")
        await pilot.press("k")
        await pilot.pause()
        pinned = step_named(app, "Sand the stand")
        assert f"{pinned.start:%a %H:%M}" == "Fri 14:00"
        app.session.step_actions.pin(pinned)
        await pilot.pause()
        assert app.screen.query_one(Choices).choices[2].says == NO_PIN
        await choose(pilot, "2")
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        folder = read_folder(app.session.state.folder)
        assert not [s for p in folder.jobs[LECTERN].parts for s in p.steps if s.on]


@pytest.mark.parametrize("wrong", ["sunday", "25:00", "whenever"])
async def test_an_impossible_pin_is_refused_and_changes_nothing(
    open_app: OpenApp, shop: Path, wrong: str
) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    before = path.read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.step_actions.pin(step_named(app, "Sand the stand"))
        await pilot.pause()
        await typed(pilot, "answer", wrong)
        told = told_wrong(app)
        assert "closed" in told or "14:00" in told
        assert path.read_bytes() == before


async def test_passes_and_hours_are_changed_in_the_step_form(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.step_actions.change(step_named(app, "Varnish"))
        await pilot.pause()
        await typed(pilot, "b-passes", "4")
        assert isinstance(app.screen, ConfirmMoves)
        await pilot.press("k")
        await pilot.pause()
        assert (
            sum((step.job, step.name) == (LECTERN, "Varnish") for step in app.session.state.plan.steps) == 4
        )
        app.session.step_actions.change(step_named(app, "Varnish"))
        await pilot.pause()
        await typed(pilot, "b-passes", "many")
        assert "whole number" in told_wrong(app)


async def test_steps_are_added_moved_and_removed(open_app: OpenApp, shop: Path) -> None:
    def ids() -> list[str]:
        return [step.id for step in read_folder(shop).jobs[LECTERN].steps]

    before = ids()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.add_step(step_named(app, "Fit the book rest"))
        await pilot.pause()
        await typed(pilot, "b-name", "Wax the screws")
        await pilot.press("k")
        await pilot.pause()
        assert ids() == [before[0], "wax-the-screws", *before[1:]]
        app.session.job_actions.move(step_named(app, "Wax the screws"), -1)
        await pilot.pause()
        assert ids() == ["wax-the-screws", *before]
        app.session.step_actions.change(step_named(app, "Wax the screws"))
        await pilot.pause()
        await choose(pilot, "remove")
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        assert ids() == before


async def test_an_edit_that_makes_a_fault_is_reported_and_reverted(open_app: OpenApp, shop: Path) -> None:
    path = shop / "shop.toml"
    before = path.read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("5")
        await pilot.pause()
        bench = next(
            row for row in app.screen.query_one("#shop").rows if row.subject and row.subject.label == "Bench"
        )
        app.screen.open_entry(bench.subject, app.session.job_actions.seen(path))
        await pilot.pause()
        await choose(pilot, "remove")
        await pilot.pause()
        assert any("bench" in toast for toast in toasts(app))
        assert path.read_bytes() == before
        assert "Bench" in rows_text(app, "#shop")


async def test_changes_by_other_programs_reach_the_app(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        OpenShop(shop, NOW).log("finish", "pear-lectern/stand/joints")
        app.session.check_files()
        await pilot.pause()
        assert "files changed" in news(app)
        assert "Start now" in read(app, "#now")
        path = shop / "jobs" / f"{LECTERN}.toml"
        good = path.read_text()
        path.write_text("title = ")
        app.session.check_files()
        await pilot.pause()
        assert f"jobs/{LECTERN}.toml" in news(app)
        path.write_text(good)
        app.session.check_files()
        await pilot.pause()
        assert "Pear lectern" in rows_text(app, "#day")


async def test_a_change_in_the_editor_is_planned(
    open_app: OpenApp, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.delenv("EDITOR", raising=False)
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.open_editor(path)
        await pilot.pause()
        assert "EDITOR" in toasts(app)[-1]


async def test_moving_a_delivery_keeps_its_other_fields(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        rush = step_named(app, "Rush for the seats", "rush-chairs")
        app.session.step_actions.change(rush)
        await pilot.pause()
        await typed(pilot, "b-arrives", "2026-12-16")
        assert "later" in read(app, "#told")
        await pilot.press("k")
        await pilot.pause()
    before = read_folder(shop).jobs["rush-chairs"]
    arrives = next(s.arrives for p in before.parts for s in p.steps if s.id == rush.step)
    assert arrives is not None
    assert arrives.on.isoformat() == "2026-12-16"
    assert "rush" in arrives.what
    assert arrives.source


async def test_purchases_have_their_day_and_are_logged_on_arrival(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("6")
        await pilot.pause()
        assert column(app, "what")[0] == "brass pulls"
        assert column(app, "from")[0] == "the foundry"
        assert column(app, "to do")[0] == "overdue, ordered Mon 9 Nov, call today"
        assert column(app, "expected")[0].startswith("Wed 2 Dec, needed by ")
        assert column(app, "for")[0] == "Fit the pulls (Seed drawer unit)"
        assert "To have for the coming week" in rows_text(app, "#toget")
        first = app.screen.selected_step()
        await pilot.press("h")
        await pilot.pause()
        assert f"Arrived: {first.label}" in news(app)
        assert app.session.state.open_shop.state().passes[first.key].finished is not None


async def test_an_ordered_item_is_expected_and_no_longer_to_order(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("6")
        await pilot.pause()
        assert any(said.startswith("order by") for said in column(app, "to do"))
        put_cursor_on(app, "Rush for the seats")
        await press_each(pilot, "O")
        await typed(pilot, "answer", "soonish")
        assert "is no day" in told_wrong(app)
        await typed(pilot, "answer", "2026-12-04")
        assert read(app, "#title") == "Ordered, here Fri 4 Dec: Rush for the seats"
        await pilot.press("k")
        await pilot.pause()
        assert "order by" not in rows_text(app, "#toget")
        assert "ordered Wed 2 Dec, call by Thu 3 Dec" in column(app, "to do")
        assert any(said.startswith("Fri 4 Dec, needed by") for said in column(app, "expected"))
        put_cursor_on(app, "Rush for the seats")
        await press_each(pilot, "j")
        await typed(pilot, "answer", "7 Dec, call Sat")
        await pilot.press("k")
        await pilot.pause()
        assert "ordered Wed 2 Dec, asked Wed 2 Dec, call by Sat 5 Dec" in column(app, "to do")
        assert any(said.startswith("Mon 7 Dec, needed by") for said in column(app, "expected"))
        await pilot.press("u")
        await pilot.pause()
        assert any(said.startswith("Fri 4 Dec") for said in column(app, "expected"))
        await pilot.press("u")
        await pilot.pause()
        assert any(said.startswith("order by") for said in column(app, "to do"))
        await press_each(pilot, "1", "O")
        assert "nothing that waits to be ordered" in toasts(app)[-1]


def column(app: ShopdayApp, head: str) -> list[str]:
    """What stands in a column of To get, for each purchase."""
    rows = app.screen.query_one("#toget", RowList)
    line = rows.rows[0].draw(rows.room).plain.split("\n")[1]
    starts = {each: line.index(each) for each in ("what", "from", "to do", "expected", "for")}
    start, end = starts[head], min((at for at in starts.values() if at > starts[head]), default=None)
    drawn = [row.draw(rows.room).plain.split("\n") for row in rows.rows if row.subject is not None]
    return [" ".join(filter(None, (line[start:end].strip() for line in lines))) for lines in drawn]


def put_cursor_on(app: ShopdayApp, name: str) -> None:
    """Choose the row of the step with this name."""
    rows = app.screen.query_one(RowList)
    names = [getattr(row.subject, "name", "") for row in rows.rows]
    rows.highlighted = names.index(name)


async def test_a_job_is_kept_as_a_recipe(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.keep_recipe(LECTERN)
        await pilot.pause()
        await typed(pilot, "answer", "A Lectern")
        assert "a-lectern" in told_wrong(app)
        await typed(pilot, "answer", "a-lectern")
        await until(pilot, lambda: app.shown is not None and "recipes/a-lectern.toml" in news(app))
    assert (shop / "recipes" / "a-lectern.toml").exists()
