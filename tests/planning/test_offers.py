"""Better plans that are worth offering: a job comes later for one only if it has a promise and still keeps it."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.console import Console
from small_shops import SHOP, later, open_shop, said, steps

from shopday.__main__ import main
from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import PlannerQuestion
from shopday.export.offer_page import offer_page
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan
from shopday.planning.solving.better_plans import KnownPlan
from shopday.planning.solving.search_memory import SearchMemory

SHORT = steps("saw 1h")
NO_RESERVE = "[rules]\nreserve = false\n"


def shop_with(folder: Path, promise: str, rules: str = "") -> OpenShop:
    """A job of all week is planned, then three short ones come, which go behind it; they would best go first."""
    given = f"promise = {promise}\n" if promise else ""
    shop = open_shop(folder, head=SHOP + rules, long=given + steps("saw 40h"))
    shop.plan(0)
    for name in ("one", "two", "three"):
        (folder / "jobs" / f"{name}.toml").write_text(SHORT, "utf-8")
    again = later(shop, "2026-03-02T08:00")
    assert deliveries(again.plan(0))["long"] == "Fri 17:00"
    return again


def deliveries(plan: Plan) -> dict[str, str]:
    return {row.job: said(row.delivery) for row in plan.jobs}


def found(shop: OpenShop) -> KnownPlan:
    return deque(filter(None, shop.offers(shop.plan(0))), maxlen=1).pop()


@pytest.mark.parametrize(
    ("promise", "rules"),
    [("2026-04-30", ""), ("2026-03-09", NO_RESERVE)],
    ids=["with its reserve", "where none is wanted"],
)
def test_a_job_comes_later_within_its_promise_where_much_is_won(
    tmp_path: Path, promise: str, rules: str
) -> None:
    plan, offer = found(shop_with(tmp_path, promise, rules))
    assert offer is not None
    assert deliveries(offer)["long"] == "Mon 11:00"
    console = Console(width=100)
    with console.capture() as shown:
        console.print(offer_page(plan, offer, taken=False))
    assert "long: Fri 6 Mar → Mon 9 Mar, 3 days later; the promise of" in shown.get()


@pytest.mark.parametrize(
    ("promise", "rules"),
    [("", ""), ("2026-03-06", ""), ("2026-03-06", NO_RESERVE), ("2026-03-10", "")],
    ids=["no promise", "it breaks", "it breaks, without reserve", "its reserve is eaten"],
)
def test_no_plan_is_offered_that_breaks_the_word_given_for_a_job(
    tmp_path: Path, promise: str, rules: str
) -> None:
    shop = shop_with(tmp_path, promise, rules)
    _, offer = found(shop)
    assert offer is None or deliveries(offer)["long"] == "Fri 17:00"


def test_little_is_not_offered_where_a_job_comes_later_for_it(tmp_path: Path) -> None:
    """The short job would come a working day sooner, the long one an hour later."""
    shop = open_shop(tmp_path, long="promise = 2026-04-30\n" + steps("saw 8h"))
    shop.plan(0)
    (tmp_path / "jobs" / "short.toml").write_text(SHORT, "utf-8")
    again = later(shop, "2026-03-02T08:00")
    assert deliveries(again.plan(0)) == {"long": "Mon 17:00", "short": "Tue 09:00"}
    assert found(again)[1] is None


def test_a_plan_that_makes_a_job_later_is_offered_and_not_used_unasked(tmp_path: Path) -> None:
    shop = shop_with(tmp_path, "2026-04-30")
    answers = list(filter(None, planner_answers(shop, PlannerQuestion(1, day_begins=True), SearchMemory())))
    assert any(answer.offer for answer in answers)
    assert not any(answer.taken for answer in answers)


def test_an_offer_is_taken_for_what_was_known_when_its_search_began(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program logs while `better --take` searches: the next plan counts that."""
    shop = shop_with(tmp_path, "2026-04-30")
    offer, mark = found(shop), shop.mark()

    def offers(searching: OpenShop, *_: object) -> Iterator[KnownPlan]:
        later(searching, "2026-03-02T08:00").log("start", "two/saw")
        yield offer

    monkeypatch.setattr(OpenShop, "offers", offers)
    assert main(["--shop", str(tmp_path), "--now", "2026-03-02T08:00", "better", "--take"]) == 0
    kept = shop.kept()
    assert kept is not None
    assert kept.mark == mark
