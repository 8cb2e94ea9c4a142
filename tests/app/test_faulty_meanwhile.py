"""A job whose file becomes faulty while the app is open, or was so before: that job alone, and it is told once."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choose, news, press_each, read, rows_text, toasts
from app_shop import NOW, OpenApp, app_on

from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

LECTERN, TABLE = "pear-lectern", "elm-hall-table"


def spoil(path: Path) -> str:
    """Write something that is no date into a job's file; gives what stood there."""
    good = path.read_text()
    path.write_text("promise = soon\n" + good)
    return good


async def test_a_job_that_becomes_faulty_stays_as_it_was_and_its_fault_is_reported_once(
    open_app: OpenApp, shop: Path
) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        plan = app.session.state.plan
        good = spoil(path)
        app.session.check_files()
        await pilot.pause()
        assert news(app).startswith(f"jobs/{LECTERN}.toml:1: ")
        assert app.session.state.plan == plan
        app.session.tell("")
        app.session.check_files()
        await pilot.pause()
        assert news(app) == ""
        await pilot.press("2")
        await pilot.pause()
        assert "Pear lectern" in rows_text(app, "#jobs")
        assert "faults" not in rows_text(app, "#jobs")
        path.write_text(good.replace('"Pear lectern', '"Plum lectern'))
        app.session.check_files()
        await pilot.pause()
        assert "files changed" in news(app)
        assert "Plum lectern" in rows_text(app, "#jobs")


async def test_a_corrected_fault_is_no_longer_reported(open_app: OpenApp, shop: Path) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        good = spoil(path)
        app.session.check_files()
        await pilot.pause()
        assert LECTERN in news(app)
        path.write_text(good)
        app.session.check_files()
        await pilot.pause()
        assert news(app) == ""


async def test_a_second_faulty_job_is_reported_too(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        good = [spoil(shop / "jobs" / f"{LECTERN}.toml")]
        app.session.check_files()
        good.append(spoil(shop / "jobs" / f"{TABLE}.toml"))
        app.session.check_files()
        await pilot.pause()
        assert TABLE in news(app)
        (shop / "jobs" / f"{TABLE}.toml").write_text(good[1])
        app.session.check_files()
        await pilot.pause()
        assert LECTERN in news(app)


async def test_work_can_be_logged_on_a_faulty_job_and_on_others(open_app: OpenApp, shop: Path) -> None:
    """Another job is changed in a form, the faulty one's step under way is finished by its key."""
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        spoil(shop / "jobs" / f"{LECTERN}.toml")
        step = next(
            s for s in app.session.state.plan.steps if s.job == TABLE and s.state == "planned" and s.part
        )
        app.session.check_files()
        app.session.job_actions.move(step, 1)
        await pilot.pause()
        assert toasts(app) == []
        assert app.session.state.changes.done[-1].what == f"Moved later: {step.name}"
        joints = next(s for s in app.session.state.plan.steps if s.job == LECTERN and s.state == "under way")
        app.session.step_actions.do("finish", joints)
        await pilot.pause()
        assert app.session.state.open_shop.journal.facts()[-1].address == joints.address


async def test_a_form_does_not_change_a_faulty_job(open_app: OpenApp, shop: Path) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        spoil(path)
        app.session.check_files()
        before = path.read_text()
        app.session.job_actions.move(next(s for s in app.session.state.plan.steps if s.job == LECTERN), 1)
        await pilot.pause()
        assert f"jobs/{LECTERN}.toml:1" in toasts(app)[-1]
        assert path.read_text() == before


@pytest.mark.parametrize("faulty_before", [False, True])
async def test_a_change_that_would_leave_another_job_out_is_reverted(
    open_app: OpenApp, shop: Path, faulty_before: bool
) -> None:
    """The table waits for the lectern's varnish: that step cannot be taken out, be a third job faulty or not."""
    path = shop / "jobs" / f"{LECTERN}.toml"
    if faulty_before:
        (shop / "jobs" / "rack.toml").write_text("")
    extra = f'\n[[steps]]\nid = "with-it"\nhands_on = "1h"\nafter = ["{LECTERN}/varnish"]\n'
    with (shop / "jobs" / f"{TABLE}.toml").open("a") as file:
        file.write(extra)
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        before = path.read_text()
        app.session.step_actions.change(
            next(s for s in app.session.state.plan.steps if s.address == f"{LECTERN}/varnish")
        )
        await pilot.pause()
        await choose(pilot, "remove")
        await pilot.pause()
        assert f"no step `{LECTERN}/varnish` to come after" in toasts(app)[-1]
        assert path.read_text() == before
        assert f"{TABLE}/with-it" in {s.address for s in app.session.state.plan.steps}


async def test_a_job_that_was_faulty_before_is_shown_as_left_out(shop: Path) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    good = spoil(path)
    app = app_on(OpenShop(shop, NOW))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        assert f"cannot be planned: {LECTERN}: jobs/{LECTERN}.toml:1: " in rows_text(app, "#day")
        app.session.check_files()
        await pilot.pause()
        assert news(app).startswith(f"jobs/{LECTERN}.toml:1: ")
        await pilot.press("2")
        await pilot.pause()
        assert f"{LECTERN}: left out, its file has faults" in rows_text(app, "#jobs")
        jobs = app.screen.query_one("#jobs")
        jobs.highlighted = next(i for i, row in enumerate(jobs.rows) if row.subject == LECTERN)
        await press_each(pilot, "a")
        assert "left out until its file is right" in toasts(app)[-1]
        await press_each(pilot, "J")
        assert LECTERN in read(app, "#job-head")
        await press_each(pilot, "escape")
        path.write_text(good)
        app.session.check_files()
        await pilot.pause()
        assert "left out" not in rows_text(app, "#jobs")
        assert "Pear lectern" in rows_text(app, "#jobs")
