"""`shopday waiting`: until when, how far along, what it frees and what waits for it."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.rich_parts import BAD, DIM, GOOD, STRONG, WARN, heading, rows, text, title, unplaced_rows
from shopday.planning.plan import Moment, Plan, elapsed
from shopday.planning.questions.dashboard_types import WaitingItem
from shopday.planning.questions.purchase_text import Purchase
from shopday.planning.step_names import place
from shopday.shop.folder import ShopFolder
from shopday.text.durations import length_text
from shopday.text.sentences import sentence
from shopday.text.times import moment_text

BAR = 10


def waiting_page(
    folder: ShopFolder, plan: Plan, found: tuple[WaitingItem, ...], to_get: tuple[Purchase, ...]
) -> Group:
    told = [row for row in found if row.kind == "informs"]
    runs = [row for row in found if row.kind != "informs"]
    parts: list[RenderableType] = [title(folder.shop.name, plan.now)]
    parts.append(heading("Waiting on" if runs else "Nothing is being waited on."))
    parts.append(rows((_until(row, plan.now), _what(folder, row, plan.now)) for row in runs))
    if told:
        parts += [heading("Still curing, holds nothing up")]
        parts.append(rows((_until(row, plan.now), _what(folder, row, plan.now)) for row in told))
    if to_get:
        parts.append(heading("To get"))
        parts += [
            text(row.text, WARN if row.urgent else DIM if row.state == "here" else "") for row in to_get
        ]
    return Group(*parts, *unplaced_rows(plan))


def _until(row: WaitingItem, now: Moment) -> Text:
    if row.overdue:
        return Text("overdue", BAD)
    if row.until is None:
        return Text("not known", WARN)
    due = "due " if row.kind in ("away", "arrives") and row.until <= now else ""
    said = f"{due}{moment_text(row.until, now)}"
    return Text(said, "bold yellow" if row.closing else "cyan")


def _what(folder: ShopFolder, row: WaitingItem, now: Moment) -> Group:
    head = Text()
    if row.kind == "window":
        head.append("! Window closes: ", WARN).append_text(text(f"start {row.next}", STRONG))
        return Group(head, _far(row, now))
    head.append_text(text(row.what, STRONG)).append_text(
        text(f", {row.step.label} ({place(folder, row.step)})")
    )
    parts: list[RenderableType] = [head, _far(row, now)]
    if after := _after(row, now):
        parts.append(after)
    return Group(*parts)


def _far(row: WaitingItem, now: Moment) -> Text:
    """A bar, and the time left in words."""
    full = round(row.share * BAR)
    left = max(0, elapsed(now, row.until)) if row.until else 0
    said = f"  {length_text(left)} left" if left and not row.overdue else f"  {_over(row)}"
    return Text("█" * full + "░" * (BAR - full), GOOD).append(said, DIM)


def _over(row: WaitingItem) -> str:
    if row.kind in ("away", "arrives"):
        return f"should be here: shopday arrived {row.step.address}"
    return "over, waiting for somebody"


def _after(row: WaitingItem, now: Moment) -> Text | None:
    said = [f"frees {row.frees}"] if row.frees else []
    said += [f"then {row.next}"] if row.next else []
    if not said:
        return None
    line = text(sentence("; ".join(said)), DIM)
    if row.closing and row.closes is not None:
        line.append(f" Its window closes {moment_text(row.closes, now)}.", WARN)
    return line
