"""Something that is ordered, expected or away, and its state in words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from shopday.planning.plan import PlannedStep
from shopday.shop.quantities import takes_text
from shopday.text.sentences import sentence
from shopday.text.times import date_text

PurchaseState = Literal["to order", "to send", "ordered", "expected", "away", "overdue", "here"]
Lead = Literal["minutes", "workdays"]


@dataclass(frozen=True, slots=True)
class Purchase:
    """Something to order, to expect, to send away or to get back.

    what:    the thing with its source, in one phrase.
    thing:   what comes, or what is done to what is sent away.
    source:  who it comes from or goes to; "" if that is not known.
    needed_for: the first step that waits for it, with its place; else where it belongs.
    by:      the last day that delays no promise, for ordering or sending it while that is to do, else for its
             arrival (None: no promise depends on it).
    planned: the day on which the plan has it leave, or arrive.
    ordered: when it was ordered, or left.
    asked:   when somebody last asked for it; `call_by`: when to ask next.
    urgent:  one of its days is near, or it is late.
    late:    the plan has it later than `by`, or `by` is past.
    """

    step: PlannedStep
    state: PurchaseState
    what: str
    thing: str
    source: str
    needed_for: str
    by: dt.date | None
    planned: dt.date
    urgent: bool
    late: bool
    text: str
    ordered: dt.date | None = None
    asked: dt.date | None = None
    call_by: dt.date | None = None


def purchase_text(row: Purchase, where: str, today: dt.date, lead: tuple[Lead, int] | None) -> str:
    if row.state in ("to order", "to send", "expected"):
        return _to_do(row, where, today, lead)
    said = _SAID[row.state].format(date_text(row.planned, today))
    began = "left" if row.step.kind == "away" else "ordered"
    pieces = [
        f"{began} {date_text(row.ordered, today)}" if row.ordered else "",
        said,
        f"asked {date_text(row.asked, today)}" if row.asked and row.state != "here" else "",
        call_text(row.call_by, today),
        "" if row.state == "here" else _needed_by(row, today),
    ]
    return sentence(f"{row.what} for {where}: {', '.join(filter(None, pieces))}")


_SAID: dict[PurchaseState, str] = {
    "ordered": "expected {}",
    "away": "back {}",
    "overdue": "overdue, reckoned with for {}",
    "here": "here since {}",
}


def call_text(day: dt.date | None, today: dt.date) -> str:
    """When to ask for it: "call today"; "" if there is no need."""
    if day is None:
        return ""
    return "call today" if day <= today else f"call by {date_text(day, today)}"


def _needed_by(row: Purchase, today: dt.date) -> str:
    if row.by is None:
        return "no promise hangs on it"
    word = "was needed by" if row.late else "needed by"
    return f"{word} {date_text(row.by, today)}"


def _to_do(row: Purchase, where: str, today: dt.date, lead: tuple[Lead, int] | None) -> str:
    verb = {"to order": "order", "to send": "send to"}.get(row.state, "make sure of")
    head = f"{verb} {row.what} for {where}"
    leaves = "leaves" if row.state == "to send" else "expected"
    planned = f"{leaves} {date_text(row.planned, today)} as planned"
    if row.by is None:
        return sentence(f"{head}: {planned}, and no promise hangs on it")
    takes = f", as it takes {takes_text(lead)}" if lead else ""
    if row.late:
        return sentence(
            f"{head}: {date_text(row.by, today)} was the last day that delayed no promise{takes}; {planned}"
        )
    here = " it must be here" if row.state == "expected" else ""
    return sentence(f"{head}:{here} by {date_text(row.by, today)} at the latest{takes}; {planned}")
