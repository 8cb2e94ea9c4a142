"""New job with the program's own recipes: what each piece becomes in the plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text, until, until_screen
from app_shop import NOW, OpenApp
from newjob_form import (
    MONDAY,
    NewJob,
    complete,
    filling_in,
    newjob_app,
    planned,
    rows,
    small_shop,
    starts,
)
from textual import events
from textual.widgets import Input, Select, Static

from shopday.app.dialogs.pick_dialog import PickDialog
from shopday.app.screens.new_job_screen import NewJobScreen
from shopday.app.widgets.gates_line import GatesLine
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.concerns import concerns

pytestmark = pytest.mark.slow


async def test_a_table_with_a_metal_base_is_fitted_and_then_finished(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with filling_in(app, "Oak table") as form:
        await form.add(
            "Table top or panel", "Base from outside, with inserts", "Finish: oil, wax or soap, wiped dry"
        )
        await form.type_in("#f-assembly", "2h")
        await form.accept()
    plan = planned(shop, NOW, effort=0)
    top, base = complete(plan, "oak-table/panel-top/sand"), complete(plan, "oak-table/outside-base/check")
    assert starts(plan, "oak-table/outside-base/inserts") >= max(top, base)
    fitted = complete(plan, "oak-table/outside-base/dry-fit")
    assert min(step.start for step in rows(plan, "oak-table", "finish-drying-oil")) >= fitted
    done = max(step.complete for step in plan.steps if step.job == "oak-table" and step.part)
    assert starts(plan, "oak-table/assemble") >= done


async def test_a_base_bought_ready_is_fitted_to_the_top(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Oak table") as form:
        await form.add(
            "Table top or panel", "Base from outside, with inserts", "Finish: oil, wax or soap, wiped dry"
        )
        await form.buy(1, "in 6 weeks")
        assert not form.parts[1].query("#p-days")
        await form.type_in("#p-inserts", "12", part=1)
        await form.accept()
    plan = planned(tmp_path)
    base = rows(plan, "oak-table", "outside-base")
    assert [step.step for step in base] == ["bought", "inserts", "dry-fit"]
    job = OpenShop(tmp_path, MONDAY).folder.jobs["oak-table"]
    assert job.parts[1].steps[1].hands_on == 30 + 12 * 5
    here = complete(plan, "oak-table/outside-base/bought")
    assert here.date().isoformat() == "2026-04-13"  # six weeks from Mon 2 Mar
    assert base[1].start >= max(here, complete(plan, "oak-table/panel-top/sand"))
    assert min(step.start for step in rows(plan, "oak-table", "finish-drying-oil")) >= base[2].complete


async def test_a_bench_gets_its_second_finish_after_the_first(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Bench") as form:
        await form.add("Bench or shelf", "Finish: shellac", "Finish: oil, wax or soap, wiped dry")
        await form.accept()
    plan = planned(tmp_path)
    bench, shellac, oil = (
        rows(plan, "bench", part) for part in ("bench-shelf", "finish-shellac", "finish-drying-oil")
    )
    assert min(step.start for step in shellac) >= max(step.complete for step in bench)
    assert min(step.start for step in oil) >= max(step.complete for step in shellac)


async def test_doors_are_hung_and_drawers_run_in_the_case_before_the_finish(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Sideboard") as form:
        await form.add("Doors", "Drawer unit", "Case piece", "Finish: shellac")
        await form.accept()
    plan = planned(tmp_path)
    case = complete(plan, "sideboard/case-piece/sand")
    assert starts(plan, "sideboard/doors/hang") >= case
    assert starts(plan, "sideboard/drawers/runners") >= case
    made = max(
        step.complete for step in plan.steps if step.job == "sideboard" and step.part in ("doors", "drawers")
    )
    assert min(step.start for step in rows(plan, "sideboard", "finish-shellac")) >= max(case, made)


async def test_a_heavy_top_is_finished_and_delivered_by_two(tmp_path: Path) -> None:
    """NIOSH 1991: 23 kg each. Black cherry, 560 kg a cubic metre: 3 m2 of 45 mm are 75.6 kg, four people."""
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Board table") as form:
        await form.add("Table top or panel", "Finish: shellac")
        for name, typed in (("length", "3000"), ("width", "1000"), ("thickness", "45")):
            await form.type_in(f"#p-{name}", typed, part=0)
        await form.accept()
    job = OpenShop(tmp_path, MONDAY).folder.jobs["board-table"]
    deliver = next(step for step in job.steps if step.id == "deliver")
    turn = next(step for step in job.parts[1].steps if step.id == "turn")
    top = next(step for step in job.parts[0].steps if step.id == "glue")
    assert deliver.lifts_kg == turn.lifts_kg == top.lifts_kg == 75.6
    said = OpenShop(tmp_path, MONDAY)
    assert sum("4 people" in concern.text for concern in concerns(said, said.plan(effort=0))) >= 3


async def test_a_job_begins_with_deposit_drawing_and_timber(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Stool") as form:
        pilot = form.pilot
        await form.add("Bench or shelf")
        await press_each(pilot, "escape", "g")
        await until_screen(pilot, PickDialog)
        await press_each(pilot, "enter", "down", "enter", "down", "enter", "down", "enter", "enter")
        await press_each(pilot, "tab", "tab", "enter")
        await until_screen(pilot, NewJobScreen)
        assert str(app.screen.query_one(GatesLine).render()).split() == [
            "g", "After", "✓Deposit", "✓Drawing", "✓Timber", "·Hardware"
        ]  # fmt: skip
        await form.accept()
    plan = planned(tmp_path)
    before = {step.step: step for step in rows(plan, "stool", "before")}
    assert list(before) == ["deposit", "make-drawing", "drawing", "timber"]
    assert before["drawing"].start == before["make-drawing"].end
    assert before["timber"].start == max(before["deposit"].complete, before["drawing"].complete)
    assert min(step.start for step in rows(plan, "stool", "bench-shelf")) >= before["timber"].complete


async def test_a_shop_in_inches_with_a_wood_of_its_own(tmp_path: Path) -> None:
    open_shop = small_shop(tmp_path)
    text = (tmp_path / "shop.toml").read_text("utf-8")
    own = "\n[species.bog-oak]\nkg = 900\nmoves = 0.004\n"
    (tmp_path / "shop.toml").write_text(f'units = "imperial"\n{text}{own}', "utf-8")
    app = newjob_app(OpenShop(tmp_path, open_shop.now()))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Bog table")
        await form.add("Table top or panel")
        assert form.parts[0].query_one("#p-length", Input).value == "70 7/8"
        app.screen.query_one("#p-species", Select).value = "bog-oak"
        for name, typed in (("length", "6' 2\""), ("width", "36"), ("thickness", "5 cm")):
            await form.type_in(f"#p-{name}", typed, part=0)
        told = "about 170 lb and is 74 in long"  # 900 kg x 1.8796 m x 0.9144 m x 0.05 m = 77.3 kg
        await until(pilot, lambda: told in str(app.screen.query_one("#reasons", Static).content))
        await form.type_in("#p-width", "a yard", part=0)
        await until(pilot, lambda: "6' 2\"" in read(app, "#date"))


async def test_an_impossible_number_is_refused_at_its_field(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "River table") as form:
        pilot = form.pilot
        await form.add("Resin-filled top")
        await form.type_in("#p-depth", "60")
        await until(pilot, lambda: "at most 45 mm" in read(app, "#date"))
        assert [line.id for line in app.screen.query("Input.wrong")] == ["p-depth"]
        await form.type_in("#p-depth", "30")
        await until(pilot, lambda: not app.screen.query("Input.wrong"))


async def test_a_recipe_is_found_by_typing(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "4", "escape", "A", *"pour")
        found = rows_text(app, "#found").splitlines()
        names = [line for line in found if not line.startswith("  ")]
        assert names[0] == "Resin-filled top"
        await press_each(pilot, *["backspace"] * 4, *"resin")
        assert rows_text(app, "#found").startswith("Resin-filled top")
        await press_each(pilot, *["backspace"] * 5, *"pour")
        await press_each(pilot, "x", "enter")
        assert rows_text(app, "#found") == "Nothing here has that in it."
        await press_each(pilot, "backspace", "enter")
        await until(pilot, lambda: len(NewJob(pilot, app).parts) == 1)


async def test_enter_picks_what_was_typed_even_before_it_is_found(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "4", "escape", "A")
        enter = events.Key("enter", "\r")  # pressed while the list still shows everything
        await press_each(pilot, *"drawers")
        app.post_message(enter)
        await until(pilot, lambda: NewJob(pilot, app).parts)
        assert NewJob(pilot, app).parts[0].form.recipe.name == "Drawer unit"
