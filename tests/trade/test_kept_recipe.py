"""A finished job kept as a recipe: the same steps, with the times they took."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from test_recipes import BOOK, SHOP, own, steps

from shopday.shop.models import Job, Step
from shopday.shop.recipes.recipe_library import make_part, save_recipe

JOB = {
    "title": 'Tea "table" {boards}',
    "parts": [
        {"id": "top", "steps": [
            {"id": "wood", "arrives": {"what": "boards", "on": dt.date(2026, 12, 1)}},
            {"id": "mill", "hands_on": "1h", "stations": ["planer"]},
            {"id": "glue", "hands_on": "1h", "material": "yellow-pva", "gear": {"long-clamps": 4}, "within": "1d",
             "missed": {"adds": "10m", "why": "joint again"}, "waits": [{"name": "in clamps", "takes": "2h", "keeps": "all"}]},
            {"id": "scrape", "hands_on": "10m", "after": [{"step": "glue", "when": "in clamps", "within": "1h"}]},
        ]},
        {"id": "base", "steps": [
            {"id": "coat", "away": {"who": "powder coater", "takes": "5 workdays"}},
            {"id": "oil", "hands_on": "30m", "passes": 2, "next_pass": {"extra": "5m", "within": "2d"}},
        ]},
    ],
    "steps": [
        {"id": "assemble", "hands_on": "2h"},
        {"id": "deliver", "hands_on": "1h", "hands": 2, "after": ["assemble", "top/scrape", "other/top/glue"]},
    ],
}  # fmt: skip


def kept(times: dict[str, int], **values: float | str) -> dict[str, Step]:
    text = save_recipe(Job.model_validate(JOB), times)
    return steps(make_part(own(text), "part", values, SHOP, BOOK))


def test_a_job_kept_as_a_recipe_makes_the_same_steps_with_the_times_it_took() -> None:
    part = kept({"tea/top/mill": 85, "tea/assemble": 150})
    assert list(part) == [
        "top-mill",
        "top-glue",
        "top-scrape",
        "base-coat",
        "base-oil",
        "assemble",
        "deliver",
    ]
    assert (part["top-mill"].hands_on, part["assemble"].hands_on, part["top-glue"].hands_on) == (85, 150, 60)
    assert (part["base-oil"].passes, part["deliver"].hands) == (2, 2)
    glue = part["top-glue"]
    assert (glue.within, glue.material, dict(glue.gear)) == (1440, "yellow-pva", {"long-clamps": 4})
    assert glue.missed is not None
    assert part["base-coat"].away is not None
    assert part["base-oil"].next_pass is not None
    assert part["base-oil"].next_pass.within == 2880


def test_a_kept_job_waits_for_the_same_things() -> None:
    part = kept({})
    after = {name: [(a.step, a.when) for a in step.after or ()] for name, step in part.items()}
    assert after["top-mill"] == []
    assert after["top-scrape"] == [("top-glue", "in clamps")]
    assert after["base-coat"] == []
    assert after["assemble"] == [("top-scrape", None), ("base-oil", None)]
    assert after["deliver"] == [("assemble", None), ("top-scrape", None)]


def test_a_kept_job_can_be_made_larger() -> None:
    assert kept({}, size=2)["assemble"].hands_on == 240


def test_shares_of_the_work_grow_with_it() -> None:
    """Planned 1 h with a range of 45 min to 2 h, taken 2 h: all of it doubles. Setting up takes what it takes."""
    plane = Step(
        id="plane", hands_on=60, spread=(45, 120), spreading=20, setup={"what": "at 20 mm", "takes": 15}
    )
    text = save_recipe(Job(steps=(plane,)), {"job/plane": 120})
    for size, work, spread, spreading, setting in (
        (1, 120, (90, 240), 40, 15),
        (2, 240, (180, 480), 80, 15),
        (0.1, 15, (9, 24), 4, 12),
    ):
        made = steps(make_part(own(text), "part", {"size": size}, SHOP, BOOK))["plane"]
        assert (made.hands_on, made.spread, made.spreading) == (work, spread, spreading)
        assert made.setup is not None
        assert made.setup.takes == setting


LENGTHS = st.integers(1, 4000)
SPREADS = st.tuples(st.integers(1, 100), st.integers(100, 4000))
WORDS = st.sampled_from(["Coat it", 'So "that" it holds', "Öl, dünn"])
FLAGS = st.booleans()
MISSED = st.fixed_dictionaries({"adds": LENGTHS, "why": WORDS})


def maybe(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | values


WAIT = st.fixed_dictionaries(
    {"name": st.sampled_from(["in clamps", "dries"]), "takes": LENGTHS, "spread": maybe(SPREADS),
     "keeps": st.sampled_from(["all", (), ("bench",)]), "still_air": FLAGS, "informs": FLAGS, "cures": FLAGS}
)  # fmt: skip
FIELDS: dict[str, st.SearchStrategy[Any]] = {
    "name": WORDS, "note": WORDS, "refs": st.lists(WORDS, max_size=2).map(tuple), "spread": maybe(SPREADS), "hands": st.sampled_from([1, 2]), "one_sitting": FLAGS,
    "stations": st.sampled_from([(), ("bench",), ("planer", "bench")]),
    "gear": st.sampled_from([{}, {"long-clamps": 4, "cauls": 2}]),
    "dusty": maybe(FLAGS), "noisy": maybe(FLAGS), "still_air": FLAGS, "room": maybe(st.just("finish")),
    "after": st.sampled_from([(), ({"step": "first"},), ({"step": "first", "when": "dries", "within": 90},)]),
    "within": maybe(LENGTHS), "missed": maybe(MISSED), "waits": maybe(st.lists(WAIT, max_size=2)),
    "material": maybe(st.sampled_from(["yellow-pva", "hardwax-oil"])), "amount_ml": maybe(st.floats(5, 5000)),
    "spreading": maybe(LENGTHS), "lifts_kg": maybe(st.floats(1, 500)), "minds": st.lists(WORDS, max_size=2),
    "costs": maybe(st.floats(0, 900)), "passes": st.integers(1, 9), "another_pass": st.floats(0, 0.9),
    "moisture": maybe(st.fixed_dictionaries({"least": st.integers(4, 6), "most": maybe(st.integers(8, 10))})),
    "setup": maybe(st.fixed_dictionaries({"what": WORDS, "takes": st.integers(1, 5)})),
    "next_pass": maybe(st.fixed_dictionaries({"extra": LENGTHS, "within": maybe(LENGTHS), "missed": maybe(MISSED)})),
    "only": maybe(st.fixed_dictionaries({"days": st.just(("friday",)), "between": st.just((540, 660))})),
}  # fmt: skip
AT_WORK = st.fixed_dictionaries({**FIELDS, "hands_on": st.integers(1, 400).map(lambda fives: 5 * fives)})
AWAY = st.fixed_dictionaries(
    {"spread": FIELDS["spread"], "costs": FIELDS["costs"], "after": FIELDS["after"],
     "away": st.fixed_dictionaries({"who": WORDS, "takes": st.sampled_from([("workdays", 5), ("minutes", 2880)])})}
)  # fmt: skip
OF_ONE_DAY = {"on", "arrives"}
"""What no later piece can have again."""


@given(AT_WORK | AWAY)
def test_every_field_of_a_step_is_kept(fields: dict[str, Any]) -> None:
    first = Step(id="first", name="First", hands_on=30, after=(), waits=({"name": "dries", "takes": 60},))
    step = Step.model_validate({"id": "second", "name": "Second", **fields})
    made = make_part(own(save_recipe(Job(steps=(first, step)), {})), "part", {}, SHOP, BOOK)
    assert made.part.steps == (first, step)


def test_the_test_covers_every_field_of_a_step() -> None:
    assert {*FIELDS, *OF_ONE_DAY, "id", "hands_on", "away"} == set(Step.model_fields)
