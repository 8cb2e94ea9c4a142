"""What the journal teaches, against sums by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from chance_shops import NOW, open_shop, steps

from shopday.planning.lessons.learned_lessons import History, Lesson, history, learned_lessons
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

HOURS = "08:00-16:00"
MATERIALS = """
[[materials]]
id = "casting"
name = "Casting resin"
kind = "resin"
waits = [{ name = "sets", takes = "10h" }]
"""


def logged(folder: Path, jobs: dict[str, str], log: list[tuple[str, str, str]], shop: str = "") -> OpenShop:
    """A shop at 20:00 of a Friday, with what was logged: kind, address, time of that week."""
    (folder / "materials.toml").write_text(MATERIALS, "utf-8")
    open_shop(folder, jobs, HOURS, shop)
    found = OpenShop(folder, NOW.replace(day=6, hour=20))
    for kind, address, at in log:
        day, clock = at.split()
        hour, minute = map(int, clock.split(":"))
        found.log(kind, address, NOW.replace(day=int(day), hour=hour, minute=minute), anyway=True)
    return found


def lessons(shop: OpenShop) -> dict[tuple[str, str], Lesson]:
    return {(x.of, x.kind): x for x in learned_lessons(shop.folder, shop.state(), shop.minute())}


def part(id: str, name: str, recipe: str, step_id: str = "sand") -> str:
    """A part with one step of an hour; without an id it is a step of the whole job."""
    step = f'id = "{step_id}"\nname = "{name}"\nhands_on = "1h"\n'
    if not id:
        return f"[[steps]]\n{step}"
    made_from = f'recipe = "{recipe}"\n' if recipe else ""
    return f'[[parts]]\nid = "{id}"\n{made_from}[[parts.steps]]\n{step}'


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        (("top", "panel-top"), ("leaf", "panel-top"), True),
        (("top", "panel-top"), ("top", "resin-top"), False),
        (("top", ""), ("top", ""), True),
        (("top", ""), ("base", ""), False),
        (("panel-top", ""), ("top", "panel-top"), True),  # New job gave such ids before it wrote `recipe`
        (("top", ""), ("", ""), False),
        (("", ""), ("", ""), True),
    ],
)
def test_steps_share_a_history_by_recipe_and_id(
    tmp_path: Path, one: tuple[str, str], other: tuple[str, str], alike: bool
) -> None:
    """Part and recipe of two steps `sand` of other names, each logged on a morning of its own."""
    jobs, log = {}, []
    for job, (id, recipe) in (("a", one), ("b", other)):
        jobs[job] = part(id, f"Sand {job}", recipe)
        address, day = "/".join(filter(None, (job, id, "sand"))), 2 + len(jobs)
        log += [("start", address, f"{day} 08:00"), ("finish", address, f"{day} 10:00")]
    shop = logged(tmp_path, jobs, log)
    found = history(shop.folder, shop.state(), shop.minute()).values()
    assert sorted(found) == ([(2.0, 2.0)] if alike else [(2.0,), (2.0,)])


@pytest.mark.parametrize(
    ("recipe", "found"),
    [("shellac", {"shellac/coat"}), ("", {"top/coat-1", "top/coat", "top/coat-2-share-1"})],
)
def test_repetitions_and_shares_from_a_recipe_are_of_one_kind(
    tmp_path: Path, recipe: str, found: set[str]
) -> None:
    jobs, log = {}, []
    for day, id in ((2, "coat-1"), (3, "coat"), (4, "coat-2-share-1")):
        jobs[f"job{day}"] = part("top", "Coat", recipe, id)
        log += [
            (kind, f"job{day}/top/{id}", f"{day} {at}")
            for kind, at in (("start", "08:00"), ("finish", "10:00"))
        ]
    shop = logged(tmp_path, jobs, log)
    assert set(history(shop.folder, shop.state(), shop.minute())) == found


def test_a_lesson_has_a_readable_name(tmp_path: Path) -> None:
    log = [("start", "a/top/sand", "2 08:00"), ("finish", "a/top/sand", "2 10:00")]
    shop = logged(tmp_path, {"a": part("top", "Sand [both] sides", "panel-top")}, log)
    (lesson,) = lessons(shop).values()
    assert lesson.kind == "panel-top/sand"
    assert lesson.text.startswith("Sand [both] sides (Top): 2h of work where 1h was foreseen, seen once")


def test_work_is_counted_in_shop_hours_per_kind(tmp_path: Path) -> None:
    """Sanding: 2 h foreseen, 3 h taken; then 2 h foreseen, and 1 h of one day with 2 h of the next."""
    shop = logged(
        tmp_path,
        {"a": steps("sand 2h", "oil 1h"), "b": steps("sand 2h")},
        [
            ("start", "a/sand", "2 08:00"),
            ("finish", "a/sand", "2 11:00"),
            ("start", "b/sand", "2 15:00"),
            ("finish", "b/sand", "3 10:00"),
            ("start", "a/oil", "3 12:00"),
        ],
    )
    found = lessons(shop)
    assert set(found) == {("work", "sand")}
    sand = found["work", "sand"]
    assert [(case.estimate, case.actual) for case in sand.cases] == [(120, 180), (120, 180)]
    assert sand.factor == pytest.approx(1.5)
    assert "2 times" in sand.text
    assert "1.50 times" in sand.text
    assert history(shop.folder, shop.state(), shop.minute()) == {"sand": (1.5, 1.5)}


def test_least_and_most_are_of_single_cases(tmp_path: Path) -> None:
    shop = logged(
        tmp_path,
        {"a": steps("saw 1h"), "b": steps("saw 3h")},
        [
            ("start", "a/saw", "2 08:00"),
            ("finish", "a/saw", "2 10:00"),
            ("start", "b/saw", "2 10:00"),
            ("finish", "b/saw", "2 13:00"),
        ],
    )
    saw = lessons(shop)["work", "saw"]
    assert (saw.factor, saw.least, saw.most) == (pytest.approx(5 / 4), 1.0, 2.0)


def test_passes_and_cures_are_counted_per_material(tmp_path: Path) -> None:
    """Two pours foreseen, three done; the second began after 9 of the 10 hours, the third only days later."""
    shop = logged(
        tmp_path,
        {"a": steps('pour 1h | material = "casting"; passes = 2')},
        [
            ("start", "a/pour", "2 08:00"),
            ("finish", "a/pour", "2 09:00"),
            ("start", "a/pour", "2 18:00"),
            ("finish", "a/pour", "2 19:00"),
            ("again", "a/pour", "3 08:00"),
            ("start", "a/pour", "4 12:00"),
            ("finish", "a/pour", "4 13:00"),
        ],
    )
    found = lessons(shop)
    assert [(c.estimate, c.actual) for c in found["passes", "casting"].cases] == [(2, 3)]
    assert [(c.estimate, c.actual) for c in found["cure", "casting"].cases] == [(600, 540)]
    assert "3 passes where 2 were foreseen" in found["passes", "casting"].text


POURED = [("start", "a/pour", "2 08:00"), ("finish", "a/pour", "2 09:00")]
POUR = 'pour 1h | material = "casting"'


def cures(shop: OpenShop) -> list[tuple[int, int]]:
    lesson = lessons(shop).get(("cure", "casting"))
    return [(case.estimate, case.actual) for case in lesson.cases] if lesson else []


@pytest.mark.parametrize(
    ("taken_up", "told"),
    [
        ("2 13:00", [(600, 240)]),  # early: it was hard by then
        ("2 19:30", []),  # late, after closing: somebody came back, whenever it was hard
        ("3 08:00", []),  # the next morning
    ],
)
def test_a_cure_is_told_by_the_step_that_follows(
    tmp_path: Path, taken_up: str, told: list[tuple[int, int]]
) -> None:
    shop = logged(tmp_path, {"a": steps(POUR, "sand 1h")}, [*POURED, ("start", "a/sand", taken_up)])
    assert cures(shop) == told


def test_a_cure_taken_up_late_tells_something_where_somebody_was_in_all_along(tmp_path: Path) -> None:
    """Due at 13:00, taken up at 14:00; twice as late, it was forgotten."""
    pour = POUR + '; waits = [{ name = "sets", takes = "4h" }]'
    for hour, told in ((14, [(240, 300)]), (16, [])):
        folder = tmp_path / str(hour)
        folder.mkdir()
        log = [*POURED, ("start", "a/sand", f"2 {hour}:00")]
        assert cures(logged(folder, {"a": steps(pour, "sand 1h")}, log)) == told


def test_a_step_that_waits_for_one_wait_tells_of_that_wait(tmp_path: Path) -> None:
    pour = POUR + '; waits = [{ name = "gels", takes = "2h" }, { name = "sets", takes = "9h" }]'
    trim = 'trim 1h | after = [{ step = "pour", when = "gels" }]'
    clean = 'clean 1h | after = [{ step = "pour", when = "hands-off" }]'
    log = [*POURED, ("start", "a/clean", "2 09:00"), ("start", "a/trim", "2 10:30")]
    assert cures(logged(tmp_path, {"a": steps(pour, trim, clean)}, log)) == [(120, 90)]


def test_a_cure_counts_at_the_temperature_of_the_label(tmp_path: Path) -> None:
    """18 h at 11 C are 9 h at 21 C where ten degrees double the rate: 18 / 2^((21 - 11) / 10). What does not
    follow the temperature, 1 h before it, counts as it was."""
    pour = (
        POUR + '; waits = [{ name = "gels", takes = "1h" }, { name = "sets", takes = "10h", cures = true }]'
    )
    log = [*POURED, ("start", "a/sand", "3 04:00")]
    shop = logged(tmp_path, {"a": steps(pour, "sand 1h")}, log, '[temperature]\nday = "11C"\nnight = "11C"\n')
    assert cures(shop) == [(660, 60 + 540)]
    assert "reckoned to the temperature of the label" in lessons(shop)["cure", "casting"].text


def test_jobs_that_are_over_still_teach(tmp_path: Path) -> None:
    log = [("start", "a/saw", "2 08:00"), ("finish", "a/saw", "2 10:00")]
    shop = logged(tmp_path, {"a": steps("saw 1h")}, log)
    file = tmp_path / "jobs" / "a.toml"
    file.write_text('status = "shelved"\n' + file.read_text("utf-8"), "utf-8")
    shop.refresh()
    assert lessons(shop)["work", "saw"].factor == 2.0


def test_a_finish_without_a_start_teaches_nothing(tmp_path: Path) -> None:
    shop = logged(tmp_path, {"a": steps("saw 1h")}, [("finish", "a/saw", "2 10:00")])
    none: History = {}
    assert lessons(shop) == {}
    assert history(shop.folder, shop.state(), shop.minute()) == none


def test_learning_changes_no_plan_and_no_file(tmp_path: Path) -> None:
    log = [("start", "a/saw", "2 08:00"), ("finish", "a/saw", "2 10:00")]
    shop = logged(tmp_path, {"a": steps("saw 1h"), "b": steps("saw 1h")}, log)
    files = {path: path.read_bytes() for path in tmp_path.rglob("*.toml")}
    before = shop.plan(0)
    assert lessons(shop)
    assert shop.plan(0) == before
    row = before.step("b/saw", 1)
    assert row is not None
    assert (row.end - row.start).total_seconds() == 3600
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.toml")} == files
