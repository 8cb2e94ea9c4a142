"""A start or a finish that was logged with a wrong time is put right by another fact, which undo takes back."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import later, open_shop, planned, row, said, steps

from shopday.shop.faults import ShopdayError


def test_waits_count_from_a_corrected_finish_and_undo_restores_the_old_one(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps('glue 1h | waits = [{ name = "sets", takes = "5h" }]', "clean 30m"))
    shop = later(shop, "2026-03-02T11:00")
    shop.log("start", "desk/glue", shop.now().replace(hour=8))
    shop.log("finish", "desk/glue", shop.now().replace(hour=10))
    assert said(row(planned(shop), "desk/clean").start) == "Mon 15:00"
    shop.correct("finish", "desk/glue", shop.now().replace(hour=9))
    shop.correct("start", "desk/glue", shop.now().replace(hour=8, minute=30))
    glue = row(planned(shop), "desk/glue")
    assert (said(glue.start), said(glue.end)) == ("Mon 08:30", "Mon 09:00")
    assert said(row(planned(shop), "desk/clean").start) == "Mon 14:00"
    shop.undo()
    shop.undo()
    assert said(row(planned(shop), "desk/clean").start) == "Mon 15:00"


def test_an_impossible_correction_is_refused_with_the_reason(tmp_path: Path) -> None:
    shop = later(open_shop(tmp_path, desk=steps("glue 4h", "clean 30m")), "2026-03-02T11:00")
    for kind, hour in (("start", 8), ("pause", 9), ("start", 10)):
        shop.log(kind, "desk/glue", shop.now().replace(hour=hour))
    with pytest.raises(ShopdayError, match=r"was put down 9:00, after 8:30; give a later time"):
        shop.correct("start", "desk/glue", shop.now().replace(hour=8, minute=30))
    shop.correct("start", "desk/glue", shop.now().replace(hour=9, minute=30))
    shop.log("finish", "desk/glue", shop.now().replace(hour=10))
    with pytest.raises(ShopdayError, match=r"was started 9:30, after 9:00"):
        shop.correct("finish", "desk/glue", shop.now().replace(hour=9))
    for step in ("desk/clean", "desk/glue"):
        with pytest.raises(ShopdayError, match=r"no .* is logged that could be corrected"):
            shop.correct("finish" if step == "desk/clean" else "pause", step, shop.now())
