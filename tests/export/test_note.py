"""The customer's note: how the job stands, and nothing about anybody else."""

from __future__ import annotations

import datetime as dt
from collections import deque
from pathlib import Path

import pytest
from out_shop import OTHER, STOOL, open_shop, write

from shopday.export.customer_note import customer_note, wants_odds
from shopday.planning.odds.delivery_odds import odds_of
from shopday.planning.odds.kept_odds import safe_delivery
from shopday.shop.faults import ShopdayError, ShopFaults
from shopday.text.times import date_text

NONE = dt.timedelta()


def said(
    folder: Path, job: str = "stool", now: str = "2026-12-01T11:30", *done: str, ago: dt.timedelta = NONE
) -> str:
    shop = open_shop(folder, now)
    for address in done:
        shop.log("finish", address, shop.now() - ago)
    return customer_note(shop, shop.plan(0.1), job)


def test_the_note_can_be_sent_as_it_is(tmp_path: Path) -> None:
    # to be shaped 11:00-15:00 with the break, oiled till 15:30, dry a day later, delivered by 16:30 on Wednesday
    told = said(write(tmp_path, stool=STOOL), "stool", "2026-12-01T09:00", "stool/seat/glue")
    assert told == (
        "Dear Mrs Aldous,\n\n"
        "here is how the work on your milking stool is going. Under way: the seat. Resting now (in clamps), until Tue 1 Dec.\n\n"
        "Your order will be ready by Thu 3 Dec, as promised.\n"
        "Please treat it gently until Wed 9 Dec: it is fully cured then.\n\n"
        "Kind regards\nThistle Lane Joinery"
    )
    assert "Wed 2 Dec" not in told  # how much time is in hand is nobody's business


def test_the_book_gives_the_full_cure_if_the_step_does_not(tmp_path: Path) -> None:
    plain = STOOL.replace('    { name = "full cure", takes = "7d", informs = true },\n', "")
    told = said(write(tmp_path, stool=plain))
    assert "fully cured" in told
    assert "no water" in told


def test_the_note_says_nothing_about_other_jobs(tmp_path: Path) -> None:
    told = said(write(tmp_path, stool=STOOL, other=OTHER), "stool")
    assert "cabinet" not in told.lower()
    assert "Bellamy" not in told


def test_care_that_ends_before_the_customer_has_the_piece_is_not_told(tmp_path: Path) -> None:
    told = said(write(tmp_path, stool=STOOL.replace("2026-12-03", "2026-12-18")))
    assert "ready by Fri 18 Dec, as promised" in told
    assert "gently" not in told


def test_a_late_jobs_note_regrets_and_gives_a_safe_day(tmp_path: Path) -> None:
    folder = write(tmp_path, stool=STOOL.replace("2026-12-03", "2026-12-01"))
    shop = open_shop(folder, "2026-12-01T11:30")
    plan = shop.plan(0.1)
    assert wants_odds(plan, "stool")
    safe = safe_delivery(shop, plan, "stool")
    odds = deque(filter(None, odds_of(shop, plan)), maxlen=1).pop().job("stool")
    assert odds is not None
    assert odds.p80 is not None
    assert safe == odds.p80
    told = customer_note(shop, plan, "stool", safe)
    day = date_text(odds.p80.date(), plan.now.date())
    assert (
        "We are sorry: your order will not be ready on Tue 1 Dec as promised. "
        f"It should be ready by {day}." in told
    )
    (folder / ".odds.json").write_text(
        (folder / ".odds.json").read_text().replace("2026-12-03T", "2026-12-13T")
    )
    assert safe_delivery(shop, plan, "stool") != safe  # it is remembered
    shop.log("start", "stool/seat/glue")
    assert safe_delivery(shop, shop.plan(0.1), "stool") == safe  # and drawn anew once something happened


def test_the_words_are_the_shops_own(tmp_path: Path) -> None:
    folder = write(tmp_path, stool=STOOL)
    file = folder / "shop.toml"
    own = 'note = """\nHi {customer}! {ready}\n{care}\n[{piece}] {shop}"""\n'
    file.write_text(own + file.read_text())
    assert (
        said(folder).splitlines()[0] == "Hi Mrs Aldous! Your order will be ready by Thu 3 Dec, as promised."
    )
    assert said(folder).endswith("[milking stool] Thistle Lane Joinery")
    file.write_text(file.read_text().replace("{ready}", "{redy}"))
    with pytest.raises(ShopFaults, match=r"shop.toml:1: .*\{redy\}; did you mean `ready`"):
        said(folder)


def test_a_delivered_job_says_so(tmp_path: Path) -> None:
    steps = ("stool/seat/glue", "stool/seat/shape", "stool/seat/oil", "stool/deliver")
    # the oil, put on a week ago, was dry a day later
    assert "Your order was delivered on Fri 4 Dec." in said(
        write(tmp_path, stool=STOOL), "stool", "2026-12-10T09:00", *steps, ago=dt.timedelta(days=7)
    )


@pytest.mark.parametrize(("job", "right"), [("stol", "did you mean `stool`?"), ("other", '"shelved"')])
def test_a_job_that_is_not_planned_is_refused(tmp_path: Path, job: str, right: str) -> None:
    folder = write(tmp_path, stool=STOOL, other=f'status = "shelved"\n{OTHER}')
    with pytest.raises(ShopdayError, match=r"planned|no job") as error:
        said(folder, job)
    assert right in str(error.value)
