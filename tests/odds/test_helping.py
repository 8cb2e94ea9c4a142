"""What would help, in shops where the answer can be worked out by hand."""

from __future__ import annotations

from collections import deque
from pathlib import Path

import pytest
from chance_shops import NOW, open_shop, steps

from shopday.planning.open_shop import OpenShop
from shopday.planning.whatif.ranking import MOST, HelpfulChange, HelpsSoFar, helpful_changes

pytestmark = pytest.mark.slow

DAY = "08:00-16:00"
TWO_MAKERS = '[[people]]\nid = "ada"\n[[people]]\nid = "kit"\n'


def found(shop: OpenShop, job: str | None = None) -> dict[str, HelpfulChange]:
    """What helps, by its words."""
    told = so_far(shop, job).found
    assert list(told) == sorted(told, key=lambda row: row.key, reverse=True)
    rows = {row.text: row for row in told}
    assert len(rows) == len(told)
    return rows


def so_far(shop: OpenShop, job: str | None = None, effort: float = 1.0) -> HelpsSoFar:
    """The last that is told."""
    return deque(filter(None, helpful_changes(shop, shop.plan(0.1), job, effort)), maxlen=1).pop()


def test_a_second_station_helps_if_two_steps_need_the_same(tmp_path: Path) -> None:
    """Two makers, 4 h each on one bench: with two benches the second job is done 4 h earlier."""
    text = steps('make 4h | stations = ["bench"]')
    shop = open_shop(tmp_path, {"a": text, "b": text}, DAY, TWO_MAKERS + '[[stations]]\nid = "bench"\n')
    rows = found(shop)
    assert rows["one more bench"].earlier == 240
    assert max(rows.values(), key=lambda row: row.key).text == "one more bench"


def test_more_clamps_help_a_glue_up_that_waits_for_them(tmp_path: Path) -> None:
    """Glue-ups of 1 h that keep 6 of 8 clamps for 5 h: with 14 the second starts at 09:00, not at 14:00."""
    glue = 'glue 1h | gear = { clamps = 6 }; waits = [{ name = "in clamps", takes = "5h", keeps = "all" }]'
    shop = open_shop(
        tmp_path, {"a": steps(glue), "b": steps(glue)}, DAY, '[[gear]]\nid = "clamps"\ncount = 8\n'
    )
    assert found(shop)["6 more clamps"].earlier == 300


def test_an_extra_hour_in_the_evening_helps(tmp_path: Path) -> None:
    """9 h of work in days of 8: the last hour is done at 17:00 rather than at 09:00 of the day after."""
    shop = open_shop(tmp_path, {"a": "promise = 2026-03-02\n" + steps("make 9h")}, DAY)
    rows = found(shop)
    for text in ("an hour more on weekday evenings", "an hour more every evening until Fri 6 Mar"):
        assert rows[text].earlier == 16 * 60
        assert rows[text].promises == 9 * 60


def test_a_helper_does_not_come_because_the_maker_stays_longer(tmp_path: Path) -> None:
    """Half an hour on Tuesday is too short for two to lift; it is done on Saturday."""
    hours = 'hours = { tuesday = ["08:00-08:30"], saturday = ["08:00-10:00"] }'
    people = f'[[people]]\nid = "ada"\n[[people]]\nid = "kit"\nrole = "helper"\n{hours}\n'
    shop = open_shop(tmp_path, {"a": steps("lift 1h | hands = 2; one_sitting = true")}, DAY, people)
    rows = found(shop, "a")
    assert rows
    assert not any("hour more" in text for text in rows)


def test_a_saturday_morning_helps(tmp_path: Path) -> None:
    """42 h of work in weeks of 40: the last two on Saturday at 10:00, not on Monday."""
    shop = open_shop(tmp_path, {"a": steps("make 42h")}, DAY)
    weekend = "\n".join(
        line
        for line in (tmp_path / "shop.toml").read_text("utf-8").splitlines()
        if not line.startswith(("saturday", "sunday"))
    )
    (tmp_path / "shop.toml").write_text(weekend, "utf-8")
    shop = OpenShop(tmp_path, NOW)
    rows = found(shop)
    assert rows["working on Saturday mornings"].earlier == 48 * 60
    assert rows["working on the morning of Sat 7 Mar"].earlier == 48 * 60


def test_another_maker_for_an_afternoon_helps(tmp_path: Path) -> None:
    """The heavy jobs fill two days, and the light one is done on Wednesday at 12:00, or by the other on Tuesday
    from 13:00 to 17:00."""
    heavy, light = "weight = 9\n" + steps("make 8h"), steps("make 4h")
    shop = open_shop(tmp_path, {"a": heavy, "b": heavy, "c": light}, DAY)
    assert found(shop, "c")["another maker on the afternoon of Tue 3 Mar"].job == 19 * 60


def test_a_helper_for_an_afternoon_helps(tmp_path: Path) -> None:
    """Lifting wants two, and the only helper comes on Saturdays; tomorrow afternoon wins four days less 5 h."""
    people = '[[people]]\nid = "ada"\n[[people]]\nid = "kit"\nrole = "helper"\nhours = { saturday = ["08:00-10:00"] }\n'
    shop = open_shop(tmp_path, {"a": steps("lift 1h | hands = 2")}, DAY, people)
    rows = found(shop, "a")
    assert rows["a helper on the afternoon of Tue 3 Mar"].job == 4 * 1440 - 300
    assert next(iter(rows)) == "a helper on the afternoon of Tue 3 Mar"


def test_a_helper_helps_on_the_day_from_which_work_waits_for_two(tmp_path: Path) -> None:
    """Back on Tue 24 Mar, far beyond the coming days; the helper is next in on Thursday, two days later."""
    hours = 'hours = { thursday = ["13:00-16:00"] }'
    people = f'[[people]]\nid = "ada"\n[[people]]\nid = "kit"\nrole = "helper"\n{hours}\n'
    job = steps('smith | away = { who = "the smith", takes = "16 workdays" }', "fetch 1h | hands = 2")
    rows = found(open_shop(tmp_path, {"a": job}, DAY, people), "a")
    assert rows["a helper on the afternoon of Tue 24 Mar"].job == 2 * 1440


def test_a_faster_hardener_helps(tmp_path: Path) -> None:
    (tmp_path / "materials.toml").write_text(
        '[[materials]]\nid = "casting"\nname = "Casting resin"\nkind = "resin"\n'
        'waits = [{ name = "sets", takes = "40h", cures = true }]\n',
        "utf-8",
    )
    shop = open_shop(tmp_path, {"a": steps('pour 1h | material = "casting"')}, DAY)
    assert found(shop, "a")["a hardener twice as fast for casting resin"].job == 20 * 60


def test_a_faster_hardener_helps_steps_with_their_own_waits(tmp_path: Path) -> None:
    (tmp_path / "materials.toml").write_text('[[materials]]\nid = "casting"\nkind = "resin"\n', "utf-8")
    pour = 'pour 1h | material = "casting"; waits = [{ name = "sets", takes = "40h", cures = true }]'
    shop = open_shop(tmp_path, {"a": steps(pour)}, DAY)
    assert found(shop, "a")["a hardener twice as fast for casting"].job == 20 * 60


def test_sending_a_long_step_out_helps(tmp_path: Path) -> None:
    """80 h of turning are ten days here (until 16:00) and five workdays outside (until 08:00 a week on)."""
    shop = open_shop(tmp_path, {"a": steps("turn 80h")}, DAY)
    assert found(shop, "a")["sending Turn (a) out for 5 workdays"].job == (9 - 7) * 1440 + 8 * 60


def test_a_later_promise_of_another_job_helps(tmp_path: Path) -> None:
    """Both are promised for today and one fits: the heavier goes first unless its promise moves."""
    shop = open_shop(
        tmp_path,
        {
            "heavy": 'title = "Heavy"\npromise = 2026-03-02\nweight = 9\n' + steps("make 8h"),
            "light": "promise = 2026-03-02\n" + steps("make 8h"),
        },
        DAY,
    )
    row = found(shop, "light")["promising Heavy a week later"]
    assert row.job == 1440
    assert row.promises == 16 * 60
    assert not any(text.startswith("promising light") for text in found(shop, "light"))


def test_the_best_comes_first(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"a": "promise = 2026-03-02\n" + steps("turn 80h")}, DAY)
    rows = list(found(shop, "a").values())
    assert len(rows) > 1
    assert [row.job for row in rows] == sorted((row.job or 0 for row in rows), reverse=True)


def test_the_effort_says_how_many_are_searched(tmp_path: Path) -> None:
    """Every change is looked at once, whatever the effort; of those that make a difference so many more thoroughly."""
    shop = open_shop(tmp_path, {"a": "promise = 2026-03-02\n" + steps("turn 80h")}, DAY)
    looked_at, usual, twice = (so_far(shop, effort=effort) for effort in (0, 1, 2))
    assert looked_at.found
    assert usual.steps == looked_at.steps + MOST
    assert twice.steps == looked_at.steps + min(2 * MOST, looked_at.steps)
    assert all(told.done == told.steps for told in (looked_at, usual, twice))


def test_nothing_is_written(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path, {"a": steps('make 9h | stations = ["bench"]')}, DAY, '[[stations]]\nid = "bench"\n'
    )
    files = {path: path.read_bytes() for path in tmp_path.rglob("*.toml")}
    before = shop.plan(0)
    assert so_far(shop).found
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.toml")} == files
    assert shop.plan(0) == before
