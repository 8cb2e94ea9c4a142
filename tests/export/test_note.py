"""The customer's note: how the job stands, and nothing about anybody else."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from out_shop import OTHER, STOOL, open_shop, write

from shopday.export.customer_note import customer_note
from shopday.shop.faults import ShopdayError

NONE = dt.timedelta()


def said(
    folder: Path, job: str = "stool", now: str = "2026-12-01T11:30", *done: str, ago: dt.timedelta = NONE
) -> str:
    shop = open_shop(folder, now)
    for address in done:
        shop.log("finish", address, shop.now() - ago)
    return customer_note(shop, shop.plan(0.1), job)


def test_it_says_what_is_done_and_when_it_will_be_ready(tmp_path: Path) -> None:
    told = said(write(tmp_path, stool=STOOL), "stool", "2026-12-01T09:00", "stool/seat/glue")
    assert "Done so far: Glue up the seat." in told
    assert "Glue up the seat: in clamps, until Tue 1 Dec." in told
    # shaped 11:00-15:00 with the break, oiled till 15:30, dry a day later, delivered by 16:30
    assert "It should be ready by Wed 2 Dec, as promised for Thu 3 Dec." in told


def test_it_tells_how_to_treat_it_until_it_is_cured(tmp_path: Path) -> None:
    told = said(write(tmp_path, stool=STOOL))
    # glued 11:30-12:30 with the break, clamps off 15:30, shaped till Wed 10:30, oiled till 11:00; and 7 days
    assert "until Thu 10 Dec: full cure" in told or "until Wed 9 Dec: full cure" in told


def test_the_book_tells_of_full_cure_where_the_step_does_not(tmp_path: Path) -> None:
    plain = STOOL.replace('    { name = "full cure", takes = "7d", informs = true },\n', "")
    told = said(write(tmp_path, stool=plain))
    assert "fully cured" in told
    assert "no water" in told


def test_nothing_of_others_is_in_it(tmp_path: Path) -> None:
    told = said(write(tmp_path, stool=STOOL, other=OTHER), "stool")
    assert "cabinet" not in told.lower()
    assert "Bellamy" not in told
    assert "Thistle" not in told


def test_a_late_job_is_told_honestly(tmp_path: Path) -> None:
    late = STOOL.replace("2026-12-03", "2026-12-01")
    assert "later than promised for Tue 1 Dec" in said(write(tmp_path, stool=late))


def test_a_delivered_job_says_so(tmp_path: Path) -> None:
    steps = ("stool/seat/glue", "stool/seat/shape", "stool/seat/oil", "stool/deliver")
    # the oil, put on a week ago, was dry a day later
    assert "Delivered Fri 4 Dec." in said(
        write(tmp_path, stool=STOOL), "stool", "2026-12-10T09:00", *steps, ago=dt.timedelta(days=7)
    )


@pytest.mark.parametrize(("job", "right"), [("stol", "did you mean `stool`?"), ("other", '"shelved"')])
def test_a_job_that_is_not_planned_is_refused(tmp_path: Path, job: str, right: str) -> None:
    folder = write(tmp_path, stool=STOOL, other=f'status = "shelved"\n{OTHER}')
    with pytest.raises(ShopdayError, match=r"planned|no job") as error:
        said(folder, job)
    assert right in str(error.value)
