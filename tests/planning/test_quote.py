"""Quotes: from the plan on the wall, no promise broken for it, never earlier for more work, and kept when accepted."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_shops import open_shop, said, steps

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.quote import Quote, quote_job
from shopday.shop.models import Job, Part, Step, Wait
from shopday.shop.recipes.recipe_library import recipes

pytestmark = pytest.mark.slow

RULES = "[rules]\nreserve = false\n"
BENCH = '[[stations]]\nid = "bench"\n'


def asked(*hours: int, promise: str | None = None) -> Job:
    own = tuple(Step(id=f"s{n}", hands_on=60 * each) for n, each in enumerate(hours))
    return Job.model_validate({"title": "Asked", "promise": promise, "steps": own})


def told(found: Quote) -> str:
    return said(found.earliest)


def test_a_quote_goes_before_work_that_can_wait(tmp_path: Path) -> None:
    """The other job has all week: 4 h of work asked for on Monday are done 8:00-12:00, it 13:00-17:00."""
    shop = open_shop(tmp_path, shop=RULES, other="promise = 2026-03-06\n" + steps("saw 4h"))
    found = quote_job(shop, "asked", asked(4))
    assert told(found) == "Mon 12:00"
    assert [(move.job, said(move.after), move.slips) for move in found.moves] == [
        ("other", "Mon 17:00", False)
    ]


def test_a_quote_breaks_no_promise(tmp_path: Path) -> None:
    """The other job is promised for Monday and wants it whole: 4 h more are done on Tuesday morning."""
    shop = open_shop(tmp_path, shop=RULES, other="promise = 2026-03-02\n" + steps("saw 8h"))
    found = quote_job(shop, "asked", asked(4))
    assert told(found) == "Tue 12:00"
    assert found.moves == ()


def test_a_quote_makes_no_late_job_later(tmp_path: Path) -> None:
    """It was promised for last Friday and is planned for Monday noon: 2 h asked for come behind it."""
    shop = open_shop(tmp_path, shop=RULES, other="promise = 2026-02-27\n" + steps("saw 4h"))
    found = quote_job(shop, "asked", asked(2))
    assert told(found) == "Mon 15:00"
    assert found.moves == ()


def test_a_quote_alone_has_the_shop_to_itself(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, shop=RULES, other="promise = 2026-03-02\n" + steps("saw 8h"))
    assert said(quote_job(shop, "asked", asked(4)).alone) == "Mon 12:00"


def test_accepting_a_quote_unchanged_keeps_its_plan(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path, a=steps("saw 3h"), b="promise = 2026-03-04\n" + steps("saw 5h"), c=steps("saw 2h")
    )
    text = steps("cut 2h", "fit 3h")
    (tmp_path / "asked.toml").write_text(text, "utf-8")
    from shopday.shop.loading.folder_reader import read_job

    found = quote_job(shop, *read_job(tmp_path / "asked.toml", shop.folder))
    before = shop.plan()
    assert [row.job for row in before.jobs] == ["a", "b", "c"]
    (shop.path / "jobs" / "asked.toml").write_text(text, "utf-8")
    shop.refresh()
    accepted = shop.plan()
    assert accepted.steps == found.plan.steps
    row = accepted.job("asked")
    assert row is not None
    assert row.delivery == found.earliest


def test_a_quote_does_not_change_the_kept_plan(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, a=steps("saw 3h"), b=steps("saw 5h"))
    before = shop.plan()
    quote_job(shop, "asked", asked(1))
    assert shop.plan().steps == before.steps


# ------------------------------------------------------------ more work, no earlier date


def loaded(folder: Path, load: list[tuple[int, int, bool]]) -> OpenShop:
    """One maker and a bench; jobs of some hours each, promised in so many days, with glue on the bench or not."""
    jobs = {}
    for n, (hours, days, glue) in enumerate(load):
        sets = f'stations = ["bench"]; waits = [{{ name = "sets", takes = "{5 + n}h", keeps = "all" }}]'
        made = steps(f"glue 40m | {sets}", f"saw {hours}h") if glue else steps(f"saw {hours}h")
        jobs[f"job_{n}"] = f"promise = 2026-03-{2 + days:02}\n{made}"
    return open_shop(folder, shop=BENCH, **jobs)


PARTS = st.lists(
    st.tuples(st.integers(30, 300), st.booleans(), st.integers(1, 3)), min_size=1, max_size=3
).map(lambda parts: tuple(_part(n, *part) for n, part in enumerate(parts)))


def _part(n: int, minutes: int, glue: bool, coats: int) -> Part:
    cut = Step(id="cut", hands_on=minutes)
    wait = Wait(name="sets", takes=420, keeps="all")
    stuck = (Step(id="glue", hands_on=45, stations=("bench",), waits=(wait,)),) if glue else ()
    coat = Step(id="coat", hands_on=25, passes=coats, waits=(Wait(name="dries", takes=600),))
    return Part(id=f"part-{n}", steps=(cut, *stuck, coat))


@given(
    st.lists(st.tuples(st.integers(2, 9), st.integers(1, 12), st.booleans()), min_size=1, max_size=3),
    PARTS,
    st.data(),
)
@settings(max_examples=25)
def test_one_more_part_or_coat_never_makes_it_earlier(
    tmp_path_factory: pytest.TempPathFactory,
    load: list[tuple[int, int, bool]],
    parts: tuple[Part, ...],
    data: st.DataObject,
) -> None:
    shop = loaded(tmp_path_factory.mktemp("shop"), load)
    deliver = (Step(id="deliver", hands_on=60),)
    less = Job(parts=parts, steps=deliver)
    if data.draw(st.booleans()):
        more = less.model_copy(update={"parts": (*parts, _part(9, 90, True, 2))})
    else:
        first = parts[0].steps[-1]
        coats = first.model_copy(update={"passes": first.passes + 1})
        part = parts[0].model_copy(update={"steps": (*parts[0].steps[:-1], coats)})
        more = less.model_copy(update={"parts": (part, *parts[1:])})
    wall = shop.plan(0.05)
    one, two = (quote_job(shop, "asked", job, 0.05, wall).earliest for job in (less, more))
    assert one is not None
    assert two is not None
    assert one <= two


BUILT_IN = recipes()
PIECES = sorted(id for id, recipe in BUILT_IN.items() if not recipe.finishing)
FINISHES = sorted(id for id, recipe in BUILT_IN.items() if recipe.finishing)


@given(
    st.lists(st.tuples(st.integers(2, 9), st.integers(1, 12), st.booleans()), min_size=1, max_size=2),
    st.lists(st.sampled_from(PIECES), min_size=1, max_size=2),
    st.sampled_from(FINISHES),
    st.integers(2, 4),
    st.sampled_from(["part", "coat"]),
)
@settings(max_examples=10)
def test_nor_does_a_part_or_coat_of_a_recipe(
    tmp_path_factory: pytest.TempPathFactory,
    load: list[tuple[int, int, bool]],
    pieces: list[str],
    finish: str,
    coats: int,
    added: str,
) -> None:
    """As New job makes the job from what was chosen."""
    shop = loaded(tmp_path_factory.mktemp("shop"), load)
    names = {parameter.id for parameter in BUILT_IN[finish].parameters}

    def made(count: int, *more: str) -> Job:
        finishing = PartForm(BUILT_IN[finish], {"coats": str(count)} if "coats" in names else {})
        forms = [
            *(PartForm(BUILT_IN[id]) for id in pieces),
            finishing,
            *(PartForm(BUILT_IN[id]) for id in more),
        ]
        return draft_job(JobForm(title="Asked", assembly="1h", parts=forms), shop.folder, shop.now()).job

    less, more = made(coats), made(coats, pieces[0]) if added == "part" else made(coats + 1)
    wall = shop.plan(0.05)
    one, two = (quote_job(shop, "asked", job, 0.05, wall).earliest for job in (less, more))
    assert one is not None
    assert two is not None
    assert one <= two
