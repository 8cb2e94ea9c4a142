"""Parts joined to a job, whatever the recipes: the program's and random ones of a shop's own."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job, part_ids
from shopday.journal.state import fold
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result
from shopday.shop.faults import ShopFaults
from shopday.shop.folder import ShopFolder
from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.models import Job, Shop
from shopday.shop.recipes.recipe_library import Recipe, joined, make_part, recipe_faults, recipes
from shopday.shop.step_graph import expand

NOW = dt.datetime(2026, 12, 1, 8, 0, tzinfo=ZoneInfo("Europe/Berlin"))
WEEK = ((480, 720), (780, 1020))
SHOP = Shop(
    name="Trial",
    timezone="Europe/Berlin",
    hours=dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday"), WEEK),
)
BOOK = builtin_materials()
BUILT_IN = recipes()
EMPTY = ShopFolder(Path("trial"), SHOP, {}, BOOK)
ROLES = ("top", "base", "case")


@st.composite
def own_recipes(draw: st.DrawFn) -> Recipe:
    """Steps in any order among themselves, needing anything, also each other's parts."""
    steps = []
    for place in range(draw(st.integers(1, 4))):
        step = {"id": f"s{place}", "hands_on": "30m"}
        if draw(st.booleans()):
            step["after"] = (
                draw(st.lists(st.sampled_from([s["id"] for s in steps]), unique=True)) if steps else []
            )
        if draw(st.integers(0, 2)) == 0:
            step["needs"] = draw(st.lists(st.sampled_from(ROLES), min_size=1, unique=True))
        if draw(st.integers(0, 4)) == 0:
            step["within"] = "9d"
        if draw(st.integers(0, 4)) == 0:
            step["finished"] = True
        steps.append(step)
    return Recipe.model_validate(
        {
            "id": draw(st.sampled_from(["one", "two", "three"])),
            "name": "Own",
            "makes": draw(st.lists(st.sampled_from(ROLES), unique=True)),
            "finishing": draw(st.integers(0, 2)) == 0,
            "steps": steps,
        }
    )


@st.composite
def part_forms(draw: st.DrawFn) -> PartForm:
    recipe = draw(st.one_of(st.sampled_from(list(BUILT_IN.values())), own_recipes()))
    bought = not recipe.finishing and draw(st.integers(0, 3)) == 0
    return PartForm(recipe, bought=bought, on="in 2 weeks")


chosen = st.lists(part_forms(), min_size=1, max_size=6)


class Joined:
    """A job of the form, what each step waits for through all others, and its parts' recipes in order."""

    def __init__(self, forms: list[PartForm]) -> None:
        form = JobForm(title="Piece", assembly="1h", parts=forms)
        self.forms, self.ids = forms, part_ids(form)
        self.job: Job = draft_job(form, EMPTY, NOW).job
        self.folder = replace(EMPTY, jobs={"piece": self.job})
        found = expand(self.folder)
        assert found.problems == ()  # no circle, no step unknown
        self.before: dict[str, set[str]] = {}
        for address in found.order:
            direct = {entry.address for entry in found.before[address]}
            self.before[address] = direct.union(*(self.before[one] for one in direct))

    def steps(self, place: int) -> list[str]:
        return [f"piece/{self.ids[place]}/{step.id}" for step in self.job.parts[place].steps]

    def needs(self, place: int) -> dict[str, set[str]]:
        """What the steps of a part need, by address."""
        part = self.job.parts[place]
        raw = {str(step["id"]): step.get("needs", ()) for step in self.forms[place].recipe.steps}
        found = {step.id: raw.get(step.id, ()) for step in part.steps}
        return {
            f"piece/{part.id}/{id}": {roles} if isinstance(roles, str) else set(roles)
            for id, roles in found.items()
            if roles
        }

    def late(self, place: int) -> set[str]:
        """Steps of a part that come after its finish, and what waits for them within the part."""
        recipe = self.forms[place].recipe
        raw = {str(step["id"]) for step in recipe.steps if step.get("finished") and not recipe.finishing}
        late = {address for address in self.steps(place) if address.rpartition("/")[2] in raw}
        return late | {step for step in self.steps(place) if self.before[step] & late}

    def making(self, place: int) -> set[str]:
        """Steps of a part that neither need another part, or its finish, nor wait for a step of it that does."""
        fitting = {*self.needs(place), *self.late(place)}
        return {step for step in self.steps(place) if step not in fitting and not self.before[step] & fitting}


@pytest.mark.slow
@given(chosen)
def test_a_finish_starts_after_the_pieces_before_it(forms: list[PartForm]) -> None:
    job = Joined(forms)
    group: list[int] = []
    finished = False
    for place, form in enumerate(forms):
        if not form.recipe.finishing:
            group = [place] if finished else [*group, place]
        else:
            pieces = {step for piece in group for step in job.steps(piece)}
            late = {step for piece in group for step in job.late(piece)}
            assert all(pieces - late <= job.before[step] for step in job.steps(place))
            assert all(set(job.steps(place)) <= job.before[step] for step in late)
        finished = form.recipe.finishing


@pytest.mark.slow
@given(chosen)
def test_what_needs_a_part_waits_for_all_that_make_it(forms: list[PartForm]) -> None:
    job = Joined(forms)
    for place in range(len(forms)):
        for step, roles in job.needs(place).items():
            for other, form in enumerate(forms):
                if other != place and not form.recipe.finishing and roles & set(form.recipe.makes):
                    assert job.making(other) <= job.before[step]


@pytest.mark.slow
@given(chosen)
def test_nothing_is_fitted_while_it_is_being_finished(forms: list[PartForm]) -> None:
    """Between the first and the last step of a finish nobody drills into a piece it is for."""
    job = Joined(forms)
    for finish in (place for place, form in enumerate(forms) if form.recipe.finishing):
        pieces = _finished_by(forms, finish)
        for place in range(len(forms)):
            for step, roles in job.needs(place).items():
                if (
                    any(piece != place and roles & set(forms[piece].recipe.makes) for piece in pieces)
                    and place != finish
                ):
                    if place > finish:
                        assert set(job.steps(finish)) <= job.before[step]
                    elif not forms[place].recipe.finishing:
                        before = all(step in job.before[coat] for coat in job.steps(finish))
                        assert before or (
                            step in job.late(place) and set(job.steps(finish)) <= job.before[step]
                        )


def _finished_by(forms: list[PartForm], finish: int) -> list[int]:
    """The pieces a finish is for: those right before it, other finishes for them aside."""
    pieces: list[int] = []
    for place in reversed(range(finish)):
        if not forms[place].recipe.finishing:
            pieces.append(place)
        elif pieces:
            break
    return pieces


@pytest.mark.slow
@given(chosen)
def test_the_whole_job_comes_after_all_its_parts(forms: list[PartForm]) -> None:
    job = Joined(forms)
    parts = {step for place in range(len(forms)) for step in job.steps(place)}
    assert parts <= job.before["piece/assemble"]
    assert parts | {"piece/assemble"} == job.before["piece/deliver"]


@pytest.mark.slow
@given(chosen, part_forms())
def test_one_more_part_takes_no_wait_away(forms: list[PartForm], more: PartForm) -> None:
    before, after = Joined(forms).before, Joined([*forms, more]).before
    assert all(waits <= after[step] for step, waits in before.items())


@settings(max_examples=30)
@given(st.lists(part_forms(), min_size=1, max_size=4))
def test_every_step_has_its_place_in_a_plan(forms: list[PartForm]) -> None:
    job = Joined(forms)
    built, result = next(filter(None, improved_plans(job.folder, fold(()), int(NOW.timestamp() // 60), 0)))
    assert verify_result(built.problem, result) == []
    assert decode_plan(built, result).unplaced == ()


def made(*written: dict[str, object]) -> list[dict[str, object]]:
    """The steps of joined parts as they would stand in a file: what each waits for."""
    chosen = [Recipe.model_validate({"name": str(entry["id"]), **entry}) for entry in written]
    parts = joined([(recipe, make_part(recipe, recipe.id, {}, SHOP, BOOK)) for recipe in chosen])
    return [
        {f"{part.id}/{step.id}": [after.model_dump(exclude_none=True) for after in step.after]}
        for part in parts
        for step in part.steps
        if step.after is not None
    ]


def test_parts_that_need_each_other_wait_for_the_making_alone() -> None:
    frame = {"id": "frame", "makes": "frame", "steps": [
        {"id": "saw", "hands_on": "1h"}, {"id": "hinge", "hands_on": "1h", "needs": "leaf"},
    ]}  # fmt: skip
    leaf = {"id": "leaf", "makes": "leaf", "steps": [
        {"id": "plane", "hands_on": "1h"}, {"id": "lock", "hands_on": "1h", "needs": ["frame"]},
    ]}  # fmt: skip
    assert made(frame, leaf) == [
        {"frame/hinge": [{"step": "saw"}, {"step": "leaf/plane"}]},
        {"leaf/lock": [{"step": "plane"}, {"step": "frame/saw"}]},
    ]


def test_a_window_goes_on_counting_from_the_step_before_in_the_part() -> None:
    top = {"id": "top", "makes": "top", "steps": [{"id": "saw", "hands_on": "1h"}]}
    base = {"id": "base", "steps": [
        {"id": "glue", "hands_on": "1h"}, {"id": "pin", "hands_on": "1h", "needs": "top", "within": "2h"},
    ]}  # fmt: skip
    assert made(top, base) == [{"base/pin": [{"step": "glue", "within": 120}, {"step": "top/saw"}]}]


def test_what_is_done_to_a_finished_piece_waits_for_its_finish() -> None:
    chair = {"id": "chair", "steps": [
        {"id": "sand", "hands_on": "1h"}, {"id": "seat", "hands_on": "1h", "finished": True}, {"id": "pad", "hands_on": "1h"},
    ]}  # fmt: skip
    oil = {"id": "oil", "finishing": True, "steps": [{"id": "coat", "hands_on": "1h"}]}
    assert made(chair, oil) == [
        {"chair/seat": [{"step": "sand"}, {"step": "oil/coat"}]},
        {"oil/coat": [{"step": "chair/sand"}]},
    ]
    assert made(chair) == []


def test_a_finish_waits_for_every_end_of_a_piece() -> None:
    """Glue is waited for only until it is out of clamps: its hardening is an end of its own."""
    piece = {"id": "piece", "steps": [
        {"id": "glue", "hands_on": "1h", "waits": [{"name": "in clamps", "takes": "1h"}, {"name": "hardens", "takes": "1d"}]},
        {"id": "scrape", "hands_on": "1h", "after": [{"step": "glue", "when": "in clamps"}]},
        {"id": "label", "hands_on": "5m", "after": []},
    ]}  # fmt: skip
    oil = {"id": "oil", "finishing": True, "steps": [{"id": "coat", "hands_on": "1h"}]}
    (coat,) = (waits["oil/coat"] for waits in made(piece, oil) if "oil/coat" in waits)
    assert coat == [{"step": "piece/glue"}, {"step": "piece/scrape"}, {"step": "piece/label"}]


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ('needs = ["tpo"]', "recipes/own.toml:8: `needs`: no recipe makes `tpo`; did you mean `top`?"),
        ("needs = 3", 'recipes/own.toml:8: `needs`: 3 is not written as it should be; write needs = ["top"]'),
        ('needs = ["A top"]', 'recipes/own.toml:8: "A top" is no id; use a-z, 0-9 and -, as `a-top`'),
        ('need = ["top"]', "recipes/own.toml:8: a step has no field `need`; did you mean `needs`?"),
    ],
)
def test_a_wrong_needs_is_reported_with_its_line(tmp_path: Path, line: str, wrong: str) -> None:
    (tmp_path / "recipes").mkdir()
    text = f'name = "Own"\n[[steps]]\nid = "saw"\nhands_on = "1h"\n[[steps]]\nid = "fit"\nhands_on = "1h"\n{line}\n'
    (tmp_path / "recipes" / "own.toml").write_text(text, encoding="utf-8")
    assert [str(fault) for fault in recipe_faults(tmp_path, SHOP, BOOK)] == [wrong]
    with pytest.raises(ShopFaults) as raised:
        recipes(tmp_path)
    assert str(raised.value) == wrong


def test_one_recipe_of_the_shop_may_need_what_another_makes(tmp_path: Path) -> None:
    (tmp_path / "recipes").mkdir()
    for name, more in (("lid", 'makes = "lid"'), ("stay", "")):
        needs = 'needs = "lid"' if name == "stay" else ""
        text = f'name = "{name}"\n{more}\n[[steps]]\nid = "fit"\nhands_on = "1h"\n{needs}\n'
        (tmp_path / "recipes" / f"{name}.toml").write_text(text, encoding="utf-8")
    assert recipe_faults(tmp_path, SHOP, BOOK) == ()
    assert recipes(tmp_path)["lid"].makes == ("lid",)
