"""New job: parts joined to a job through the form, bought, moved and left out; its dates to the minute."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
from app_reading import choose, press_each, read, toasts, until, until_screen
from app_shop import NOW, OpenApp, app_on
from local_planner import LocalPlanner
from newjob_form import (
    MONDAY,
    NewJob,
    complete,
    newjob_app,
    planned,
    rows,
    said,
    small_shop,
    starts,
)
from textual.widgets import Input, Select, Static

from shopday.__main__ import main
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.link_bar import FoldedLinks
from shopday.app.widgets.part_fields import PartFields, PartKeys
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.concerns import concerns
from shopday.shop.models import After

pytestmark = pytest.mark.slow

# One maker; 8:00-12:00 and 13:00-17:00; it is Monday 8:00. Slab: mill 2h, glue 1h and 3h in clamps, sand 1h. Legs: frame
# 2h, and bolt 1h, which needs a top. Shelf: plane 3h. Oil: wipe 30m, coat 1h, which dries 2h. Deliver takes 1h.
BY_HAND: dict[str, tuple[Sequence[str], Mapping[str, str], str]] = {
    # mill 8-10, glue 10-11, in clamps until 14, sand 14-15, wipe 15-15:30, coat 15:30-16:30, dry 18:30
    "slab-oil": (
        ["Slab", "Oil [thin]"],
        {"slab/sand": "Mon 14:00", "oil/wipe": "Mon 15:00", "oil/coat": "Mon 15:30", "deliver": "Tue 08:00"},
        "Tue 09:00",
    ),
    # frame fills 11-12 and 13-14 while the slab is in clamps; sand 14-15, bolt 15-16, wipe 16-16:30, coat 16:30-17 and
    # Tue 8-8:30, dry 10:30
    "slab-legs-oil": (
        ["Slab", "Legs", "Oil [thin]"],
        {"legs/bolt": "Mon 15:00", "oil/wipe": "Mon 16:00", "oil/coat": "Mon 16:30", "deliver": "Tue 10:30"},
        "Tue 11:30",
    ),
    # the same: what needs a top waits for one that is listed later too
    "legs-slab-oil": (
        ["Legs", "Slab", "Oil [thin]"],
        {"legs/bolt": "Mon 15:00", "oil/wipe": "Mon 16:00", "oil/coat": "Mon 16:30", "deliver": "Tue 10:30"},
        "Tue 11:30",
    ),
    # the finish is for the slab alone: wipe 15-15:30, coat 15:30-16:30, dry 18:30; only then bolt, Tue 8-9
    "slab-oil-legs": (
        ["Slab", "Oil [thin]", "Legs"],
        {"oil/wipe": "Mon 15:00", "legs/bolt": "Tue 08:00", "deliver": "Tue 09:00"},
        "Tue 10:00",
    ),
    # the second finish waits until the first is dry: wipe Tue 8-8:30, coat 8:30-9:30, dry 11:30; deliver around lunch
    "slab-oil-oil": (
        ["Slab", "Oil [thin]", "Oil [thin]"],
        {
            "oil/wipe": "Mon 15:00",
            "oil-2/wipe": "Tue 08:00",
            "oil-2/coat": "Tue 08:30",
            "deliver": "Tue 11:30",
        },
        "Tue 13:30",
    ),
    # plane fills 11-12 and 13-15; sand 15-16, wipe 16-16:30, coat 16:30-17 and Tue 8-8:30, dry 10:30
    "slab-shelf-oil": (
        ["Slab", "Shelf", "Oil [thin]"],
        {"slab/sand": "Mon 15:00", "oil/wipe": "Mon 16:00", "oil/coat": "Mon 16:30", "deliver": "Tue 10:30"},
        "Tue 11:30",
    ),
    # both tops, the second in clamps until 18 at best: 4 h of milling, 2 of glueing, 2 of sanding and 2 for the frame are 10 h
    # before the bolts, 8 of them on Monday
    "slab-slab-legs": (
        ["Slab", "Slab", "Legs"],
        {"legs/bolt": "Tue 10:00", "deliver": "Tue 11:00"},
        "Tue 12:00",
    ),
    # long and short are 4 h in either order; deliver waits for both, though the recipe lists short last
    "pair": (["Pair of steps"], {"deliver": "Mon 13:00"}, "Mon 14:00"),
}


@pytest.mark.parametrize("case", BY_HAND)
async def test_a_job_of_parts_is_delivered_at_the_minute_worked_out(tmp_path: Path, case: str) -> None:
    parts, begins, delivery = BY_HAND[case]
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Hall piece")
        await form.add(*parts)
        await form.accept()
    plan = planned(tmp_path)
    assert {step: said(starts(plan, f"hall-piece/{step}")) for step in begins} == begins
    assert said(plan.job("hall-piece").delivery) == delivery


async def test_assembly_waits_for_every_part(tmp_path: Path) -> None:
    """Slab and legs are done at 16:00 (sand 14-15, bolt 15-16): assemble 16-17 and Tue 8-9, deliver 9-10."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Slab", "Legs")
        await form.type_in("#f-assembly", "2h")
        await form.accept()
    job = OpenShop(tmp_path, MONDAY).folder.jobs["table"]
    assert [step.after for step in job.steps] == [
        None,
        None,
    ]  # the last step of every part, without saying so
    plan = planned(tmp_path)
    assert said(starts(plan, "table/assemble")) == "Mon 16:00"
    assert said(plan.job("table").delivery) == "Tue 10:00"


async def test_a_bought_base_arrives_and_is_bolted_on(tmp_path: Path) -> None:
    """Slab sanded Mon 15:00; the base is here Wed 8:00: bolt 8-9, wipe to 9:30, coat to 10:30, dry 12:30."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Slab", "Legs", "Oil [thin]")
        await form.buy(1, "in 2 days", "Steel [frame]", "the smith")
        labels = [str(label.render()) for label in form.parts[1].query(".label").results(Static)]
        assert labels == ["What comes", "To be here", "From whom", "Bolts"]
        await form.accept()
    job = OpenShop(tmp_path, MONDAY).folder.jobs["table"]
    here, bolt = job.parts[1].steps
    assert here.arrives is not None
    assert (here.arrives.what, f"{here.arrives.on}", here.arrives.source) == (
        "Steel [frame]",
        "2026-03-04",
        "the smith",
    )
    assert (job.parts[1].label, here.label, bolt.id) == ("Steel [frame]", "Steel [frame]", "bolt")
    assert bolt.after == (After(step="bought"), After(step="slab/sand"))
    plan = planned(tmp_path)
    assert said(starts(plan, "table/legs/bolt")) == "Wed 08:00"
    assert said(starts(plan, "table/oil/wipe")) == "Wed 09:00"
    assert said(plan.job("table").delivery) == "Wed 14:00"


async def test_steps_that_need_a_bought_top_wait_for_its_arrival(tmp_path: Path) -> None:
    """Frame Mon 8-10; the top is here Tue 8:00: bolt 8-9, wipe to 9:30, coat to 10:30, dry 12:30."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Slab", "Legs", "Oil [thin]")
        await form.buy(0, "tomorrow")
        await form.accept()
    plan = planned(tmp_path)
    assert [step.step for step in rows(plan, "table", "slab")] == ["bought"]
    assert said(starts(plan, "table/legs/bolt")) == "Tue 08:00"
    assert said(plan.job("table").delivery) == "Tue 14:00"


async def test_switching_a_part_from_bought_to_made_keeps_its_numbers(tmp_path: Path) -> None:
    """Two boards: mill 8-12, glue 13-14, in clamps until 17, sand Tue 8-9, deliver 9-10."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Board")
        await form.add("Slab")
        await form.type_in("#p-boards", "2", part=0)
        await form.buy(0, "fri")
        await form.at_part(0, "y")
        assert form.parts[0].query_one("#p-boards", Input).value == "2"
        await form.accept()
    plan = planned(tmp_path)
    assert said(starts(plan, "board/slab/sand")) == "Tue 08:00"
    assert said(plan.job("board").delivery) == "Tue 10:00"


async def test_a_bought_part_needs_the_day_of_its_arrival(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Board")
        await form.add("Slab")
        await form.at_part(0, "y")
        await until(pilot, lambda: "Slab: when is it to be here?" in read(app, "#date"))
        await pilot.press("tab", *"soon")
        await until(pilot, lambda: 'Slab: "soon" is no day; write a day as 18 Dec' in read(app, "#date"))
        await pilot.press("escape", "a")
        await pilot.pause()
        assert not list((tmp_path / "jobs").iterdir())


async def test_the_order_of_the_parts_is_changed_by_key_and_by_tap(tmp_path: Path) -> None:
    """Oil before the slab is for nothing; moved behind it the job is slab-oil, and behind the legs slab-legs-oil."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Oil [thin]", "Slab", "Legs")

        def waits() -> list[str]:
            return [line for line in read(app, "#reasons").splitlines() if line.startswith("›")]

        legs = "› Legs waits for Slab."
        await until(pilot, lambda: waits() == [legs])
        await form.at_part(0, "n")
        await until(
            pilot, lambda: waits() == ["› Oil [thin] waits for Slab.", "› Legs waits for Oil [thin]."]
        )
        await pilot.press("n")  # it still has the focus
        await until(
            pilot,
            lambda: (
                waits() == [legs, "› Oil [thin] waits for Legs and Slab."]
                or waits() == [legs, "› Oil [thin] waits for Slab and Legs."]
            ),
        )
        await pilot.press("n")  # it is the last already
        assert [fields.form.recipe.id for fields in form.parts] == ["slab", "legs", "oil"]
        form.parts[2].scroll_visible(animate=False)
        await pilot.pause()
        await pilot.click(form.parts[2].query_one(PartKeys), offset=(3, 0))  # "b Earlier"
        await until(pilot, lambda: len(waits()) == 2 and "Oil [thin] waits for Slab." in waits()[0])
        await form.accept()
    assert [part.id for part in OpenShop(tmp_path, MONDAY).folder.jobs["table"].parts] == [
        "slab",
        "oil",
        "legs",
    ]
    assert said(planned(tmp_path).job("table").delivery) == "Tue 10:00"  # as worked out for slab-oil-legs


async def test_a_part_is_left_out_and_the_other_of_its_kind_keeps_its_numbers(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Boards")
        await form.add("Slab", "Slab")
        await form.at_part(1, "delete")
        await form.type_in("#p-boards", "3", part=0)
        await form.accept()
    (part,) = OpenShop(tmp_path, MONDAY).folder.jobs["boards"].parts
    assert part.steps[0].hands_on == 6 * 60


async def test_the_kept_job_is_the_quoted_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    app = newjob_app(small_shop(shop))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Slab", "Legs", "Oil [thin]")
        await until(pilot, lambda: "Tue 3 Mar, 11:30" in read(app, "#quote"))
        await form.accept()
    plan = planned(shop)
    file = (shop / "jobs" / "table.toml").rename(tmp_path / "table.toml")
    assert main(["quote", str(file), "--json", "--shop", str(shop), "--now", "2026-03-02T08:00"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["quote"]["earliest"] == "2026-03-03T11:30:00+01:00"  # as worked out for slab-legs-oil
    assert [(s["part"], s["step"], s["start"]) for s in answer["steps"]] == [
        (s.part, s.step, s.start.isoformat()) for s in plan.steps
    ]


# ------------------------------------------------------------ the program's own recipes


async def test_a_table_with_a_metal_base_is_fitted_and_then_finished(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Oak table")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Oak table")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Bench")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Sideboard")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Board table")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Stool")
        await form.add("Bench or shelf")
        await press_each(pilot, "escape", "p", "g", "t", "h", "h")
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
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("River table")
        await form.add("Resin-filled top")
        await form.type_in("#p-depth", "60")
        await until(pilot, lambda: "at most 45 mm" in read(app, "#date"))
        assert [line.id for line in app.screen.query("Input.wrong")] == ["p-depth"]
        await form.type_in("#p-depth", "30")
        await until(pilot, lambda: not app.screen.query("Input.wrong"))


# ------------------------------------------------------------ the form itself


async def test_letters_are_typed_in_a_field_and_are_keys_after_escape(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4", *"dark [oak] 4 bay racks")
        assert app.screen.query_one("#f-title", Input).value == "dark [oak] 4 bay racks"
        assert app.screen.query_one(ShopFooter).links[0].key == "Esc"
        await pilot.press("enter", *"Ann")
        assert app.screen.query_one("#f-customer", Input).value == "Ann"
        await pilot.press("escape", "4", "!")
        assert app.screen.query_one("#f-title", Input).value == "dark [oak] 4 bay racks!"


async def test_the_footer_takes_taps_while_the_person_types(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4", *"Rack")
        footer = app.screen.query_one(ShopFooter)
        cells = next(cells for cells, link in footer.fitting() if link.says == "Drop")
        await pilot.click(ShopFooter, offset=(cells.start, 0))
        await until(
            pilot, lambda: app.screen.query("#f-title") and not app.screen.query_one("#f-title", Input).value
        )


async def test_undo_restores_a_dropped_form_with_its_parts(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "R", "escape", "r", "enter", "D")
        await until(pilot, lambda: app.screen.query("#f-title") and not app.screen.query(PartFields))
        assert app.screen.query_one("#f-title", Input).value == ""
        await press_each(pilot, "u")
        await until(pilot, lambda: app.screen.query("#f-title") and app.screen.query(PartFields))
        assert app.screen.query_one("#f-title", Input).value == "R"


async def test_part_keys_without_a_part_say_so(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "escape", "b", "y", "delete")
        assert toasts(app) == ["Add a part first."]


async def test_a_finish_cannot_be_bought(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Oil [thin]")
        assert "buy" not in {link.does for link in form.parts[0].query_one(PartKeys).links}
        await form.at_part(0, "y")
        assert "only a piece can be bought" in toasts(app)[-1]
        assert not form.parts[0].form.bought


@pytest.mark.parametrize("size", [(41, 46), (60, 18), (80, 24), (120, 40)])
async def test_no_label_or_hint_of_the_form_is_cut(tmp_path: Path, size: tuple[int, int]) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("")
        await form.add("Slab")
        await form.at_part(0, "y", "escape")  # without a day nothing is planned meanwhile
        await form.add(
            "Resin-filled top", "Base from outside, with inserts", "Table top or panel", "Case piece"
        )
        for label in app.screen.query(".label").results(Static):
            lines = [strip.text.strip() for strip in label.render_lines(label.size.region)]
            assert " ".join(line for line in lines if line) == str(label.render())
            assert label.size.height <= 2
        for line in app.screen.query(Input):
            assert len(line.placeholder) <= line.content_size.width
        for links in app.screen.query(FoldedLinks):
            said = " ".join(strip.text for strip in links.render_lines(links.size.region))
            assert (
                said.replace("›", "").split()
                == " ".join(f"{link.key} {link.says}" for link in links.links).split()
            )


async def test_the_work_of_a_job_is_said_in_working_days(tmp_path: Path) -> None:
    """Seven slabs of 4 h and 1 h for the delivery are 29 h: three days of 8 h, and 5 h."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Boards")
        await form.add(*["Slab"] * 7)
        await until(
            pilot, lambda: "22 steps, 3 working days and 5h of work by the estimate." in read(app, "#quote")
        )


async def test_wanted_by_accepts_dates_as_people_write_them(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        await form.add("Slab")
        for typed in ("18 Mar", "Wed 18 Mar", "18.3.", "Mar 18", "3-18", "in 16 days", "2026-03-18"):
            await form.type_in("#f-promise", typed)  # sanded Mon 14-15, delivered 15-16
            await until(
                pilot, lambda: "16 days before Wed 18 Mar, the day it is wanted." in read(app, "#quote")
            )
            await form.type_in("#f-promise", "")
            await until(pilot, lambda: "wanted" not in read(app, "#quote"))
        await form.type_in("#f-promise", "18 Mar")
        await form.accept()
    promise = OpenShop(tmp_path, MONDAY).folder.jobs["table"].promise
    assert f"{promise}" == "2026-03-18"


async def test_accepting_warns_of_a_promise_that_nobody_can_keep(tmp_path: Path) -> None:
    """Seven slabs are 29 h: 8 a day, so Thursday at best, and never tomorrow."""
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Boards")
        await form.add(*["Slab"] * 7)
        await form.type_in("#f-promise", "tomorrow")
        await until(pilot, lambda: "after Tue 3 Mar, the day it is wanted." in read(app, "#breaks"))
        await press_each(pilot, "a")
        await until_screen(pilot, QuestionDialog)
        assert "Nobody can keep Tue 3 Mar" in read(app, "#title")
        assert "The earliest delivery is Thu 5 Mar." in read(app, "#text")
        await press_each(pilot, "escape")
        assert not (tmp_path / "jobs" / "boards.toml").exists()
        await press_each(pilot, "a")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "0")
        await until(pilot, lambda: (tmp_path / "jobs" / "boards.toml").exists())
    assert f"{OpenShop(tmp_path, MONDAY).folder.jobs['boards'].promise}" == "2026-03-03"


MIND = "fingers and hoses clear"


async def test_broken_promises_and_cautions_are_shown_before_a_job_is_accepted(tmp_path: Path) -> None:
    recipe = small_shop(tmp_path).folder.path / "recipes" / "slab.toml"
    recipe.write_text(
        recipe.read_text().replace('"2h * boards"', '"2h * boards", minds = ["vacuum"]'), "utf-8"
    )
    app = newjob_app(OpenShop(tmp_path, MONDAY))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Hall bench")
        await form.add(*["Slab"] * 3)
        await form.type_in("#f-promise", "today")
        await until(pilot, lambda: "being worked out" in read(app, "#date"))
        date, side = app.screen.query_one("#date"), app.screen.query_one("#answer-side")
        assert date.region.bottom <= side.region.y
        breaks, buttons = app.screen.query_one("#breaks"), app.screen.query("#answer-side Button")
        assert "after Mon 2 Mar, the day it is wanted." in read(app, "#breaks")
        assert breaks.region.bottom <= min(button.region.y for button in buttons)
        assert all(app.screen.region.contains_region(button.region) for button in buttons)
        assert MIND in read(app, "#cautions")
        await form.type_in("#f-promise", "")
        await press_each(pilot, "a")
        await until_screen(pilot, ConfirmMoves)
        assert MIND in read(app, "#told")


async def test_the_date_is_copied_alone_or_in_a_sentence_and_shown(tmp_path: Path) -> None:
    open_shop = small_shop(tmp_path)
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0.001))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Hall bench")
        await press_each(pilot, "C")
        assert toasts(app) == ["The date to say is not known yet."]
        await form.add("Slab")
        await until(pilot, lambda: "holds with 80 %." in read(app, "#date"))
        (said,) = re.findall(r"(\w+ \d+ Mar) holds with 80 %", read(app, "#date"))
        await press_each(pilot, "C")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "1")
        assert app.clipboard == f"The hall bench can be ready by {said}."
        assert app.clipboard in app.session.news
        await press_each(pilot, "C")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "0")
        assert app.clipboard == said
