"""New job: parts joined to a job through the form, bought, moved and left out; its dates to the minute."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
from app_reading import read, until
from newjob_form import (
    MONDAY,
    filling_in,
    newjob_app,
    planned,
    rows,
    said,
    small_shop,
    starts,
)
from textual.widgets import Input, Static

from shopday.__main__ import main
from shopday.app.widgets.part_fields import PartKeys
from shopday.planning.open_shop import OpenShop
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
    async with filling_in(app, "Hall piece") as form:
        await form.add(*parts)
        await form.accept()
    plan = planned(tmp_path)
    assert {step: said(starts(plan, f"hall-piece/{step}")) for step in begins} == begins
    assert said(plan.job("hall-piece").delivery) == delivery


async def test_assembly_waits_for_every_part(tmp_path: Path) -> None:
    """Slab and legs are done at 16:00 (sand 14-15, bolt 15-16): assemble 16-17 and Tue 8-9, deliver 9-10."""
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
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
    async with filling_in(app, "Table") as form:
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
    async with filling_in(app, "Table") as form:
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
    async with filling_in(app, "Board") as form:
        await form.add("Slab")
        await form.type_in("#p-boards", "2", part=0)
        await form.buy(0, "fri")
        await form.at_part(0, "B")
        assert form.parts[0].query_one("#p-boards", Input).value == "2"
        await form.accept()
    plan = planned(tmp_path)
    assert said(starts(plan, "board/slab/sand")) == "Tue 08:00"
    assert said(plan.job("board").delivery) == "Tue 10:00"


async def test_a_bought_part_needs_the_day_of_its_arrival(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Board") as form:
        pilot = form.pilot
        await form.add("Slab")
        await form.at_part(0, "B")
        await until(pilot, lambda: "Slab: when is it to be here?" in read(app, "#date"))
        await pilot.press("tab", *"soon")
        await until(pilot, lambda: 'Slab: "soon" is no day; write a day as 18 Dec' in read(app, "#date"))
        await pilot.press("escape", "a")
        await pilot.pause()
        assert not list((tmp_path / "jobs").iterdir())


async def test_the_order_of_the_parts_is_changed_by_key_and_by_tap(tmp_path: Path) -> None:
    """Oil before the slab is for nothing; moved behind it the job is slab-oil, and behind the legs slab-legs-oil."""
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        pilot = form.pilot
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
    async with filling_in(app, "Boards") as form:
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
    async with filling_in(app, "Table") as form:
        pilot = form.pilot
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
