"""What a logged fact or a new job moves, in whole sentences."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from shopday.export.rich_parts import BAD, DIM, GOOD, STRONG, WARN, text, unplaced_rows
from shopday.planning.plan import Moment, Plan, elapsed
from shopday.planning.questions.plan_changes import DeliveryMove, hardly
from shopday.shop.days_out import days_out_text
from shopday.shop.measures import worded
from shopday.text.safe import clean
from shopday.text.times import date_text, moment_text, time_of

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Out, Person

LEADS = {"undo": "Undone: ", "redo": "Redone: ", "dry-run": "Not logged: "}


def logged_page(
    shop: OpenShop, plan: Plan, fact: Fact, moved: Sequence[DeliveryMove], remark: str, instead: str
) -> Group:
    """The page for a logged fact. instead: "undo", "redo" or "dry-run", if the fact was not logged just now."""
    at = moment_text(shop.zone.moment(fact.at), plan.now)
    lead = LEADS.get(instead, "Logged: ")
    parts: list[RenderableType] = [Text.assemble((lead, GOOD), (clean(shop.told(fact)), STRONG), f", {at}.")]
    parts += [text(remark, WARN)] if remark else []
    return Group(*parts, *sentences(moved, plan.now), *unplaced_rows(plan))


def reading_line(celsius: float, at: int, until: Moment | None, shop: OpenShop) -> Text:
    """ "Logged: 8 C in the shop, until 17:00 today." """
    now = shop.now()
    begun = "" if at == shop.minute() else f" from {_by_the_clock(shop.zone.moment(at), now)}"
    ends = "until it is read again" if until is None else f"until {_by_the_clock(until, now)}"
    degrees = worded(f"{round(celsius, 1):g} C", shop.folder.shop.units)
    return Text.assemble(("Logged: ", GOOD), (degrees, STRONG), f" in the shop{begun}, {ends}.")


def _by_the_clock(moment: Moment, now: Moment) -> str:
    return f"{moment_text(moment, now)} today" if moment.date() == now.date() else moment_text(moment, now)


def out_page(person: Person, out: Out, removed: bool, plan: Plan, moved: Sequence[DeliveryMove]) -> Group:
    """Tells that a person is out, or in again, and what that moves."""
    lead = "In after all: " if removed else "Not in: "
    said = f", {days_out_text(out, plan.now.date())}{f' ({out.why})' if out.why else ''}."
    head = Text.assemble((lead, GOOD), (clean(person.label), STRONG), clean(said))
    return Group(head, *sentences(moved, plan.now), *unplaced_rows(plan))


def sentences(moved: Sequence[DeliveryMove], now: Moment) -> list[RenderableType]:
    """One sentence per job."""
    if not moved:
        return [Text("No delivery moves.")]
    if few := hardly(moved):
        return [Text(f"No delivery moves by more than {few} minutes.")]
    return [Padding(moved_sentence(move, now.date()), (0, 0, 0, 2)) for move in moved]


def moved_sentence(move: DeliveryMove, today: dt.date) -> Text:
    """ "Hall table: Thu 3 Dec → Mon 7 Dec, 4 days later; the promise of Fri 4 Dec slips." """
    line = text(move.title or move.job, STRONG)
    if move.after is None:
        line.append(": can no longer be planned", BAD)
    elif move.before is None:
        line.append(
            f": can be planned again, for {moment_text(move.after, _midnight(move.after, today))}", GOOD
        )
    else:
        style = WARN if elapsed(move.before, move.after) > 0 else GOOD
        after = date_text(move.after.date(), today) if move.days else time_of(move.after)
        line.append(f": {_said(move.before, move, today)} → {after}, ")
        line.append(move.distance, style)
    if move.slips and move.promise is not None:
        line.append(f"; the promise of {date_text(move.promise, today)} slips", BAD)
    elif move.promise is not None and move.after is not None and move.after.date() <= move.promise:
        line.append(f"; the promise of {date_text(move.promise, today)} holds", DIM)
        line.append(move.left, WARN)
    return line.append(".")


def _said(moment: Moment, move: DeliveryMove, today: dt.date) -> str:
    """The day of a delivery, with the time if it stays on that day."""
    said = date_text(moment.date(), today)
    return said if move.days else f"{said} {time_of(moment)}"


def _midnight(moment: Moment, today: dt.date) -> Moment:
    return dt.datetime.combine(today, dt.time(), moment.tzinfo)
