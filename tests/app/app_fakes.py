"""A small shop, told without planning: one plan by hand, for tests of what the app does with plans."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from zoneinfo import ZoneInfo

from shopday.planning.plan import JobRow, Plan, PlannedStep, PlannedWait, State
from shopday.shop.faults import ShopdayError

ZONE = ZoneInfo("America/Denver")
NOW = dt.datetime(2026, 12, 1, 8, 0, tzinfo=ZONE)


def at(day: int, clock: str) -> dt.datetime:
    hour, minute = clock.split(":")
    return dt.datetime(2026, 12, day, int(hour), int(minute), tzinfo=ZONE)


def step(address: str, name: str, start: dt.datetime, end: dt.datetime, **more: object) -> PlannedStep:
    job, *part, last = address.split("/")
    fields: dict[str, object] = {
        "state": State.PLANNED, "complete": end, "people": ("maker",), "stretches": ((start, end),),
    }  # fmt: skip
    fields |= more
    return PlannedStep(job, part[0] if part else None, last, 1, 1, name, start=start, end=end, **fields)  # type: ignore[arg-type]


def plan_of(steps: list[PlannedStep], titles: dict[str, str], promise: dt.date | None = None) -> Plan:
    ends = {job: max(s.complete for s in steps if s.job == job) for job in titles}
    rows = [JobRow(job, title, "", promise, ends[job], 0) for job, title in titles.items()]
    return Plan(NOW, 0, 0, tuple(rows), tuple(steps))


def small_plan() -> Plan:
    glue = step("desk/top/glue", "Glue up the top", at(1, "8:00"), at(1, "9:00"), stations=("bench",))
    resin = step(
        "river/top/pour", "Pour the resin", at(1, "7:00"), at(1, "7:30"), state=State.WAITING,
        waits=(PlannedWait("resin cures", at(1, "7:30"), at(2, "15:00")),), complete=at(2, "15:00"),
    )  # fmt: skip
    flat = step("river/top/flatten", "Flatten", at(2, "15:00"), at(2, "16:00"))
    return plan_of([glue, resin, flat], {"desk": "Cherry desk", "river": "River table"}, dt.date(2026, 12, 4))


class FakeWorkshop:
    """Answers with plans it was given, one after another; keeps what was logged."""

    def __init__(self, *plans: Plan) -> None:
        self.plans = list(plans)
        self.logged: list[tuple[str, str]] = []
        self.folder = SimpleNamespace(path=Path("nowhere"))

    def now(self) -> dt.datetime:
        return NOW

    def refresh(self) -> bool:
        return False

    def improvements(self, effort: float = 1.0, near: Plan | None = None) -> Iterator[Plan]:
        yield self.plans[min(len(self.logged), len(self.plans) - 1)]

    def log(self, kind: str, address: str, at: dt.datetime | None = None) -> SimpleNamespace:
        if address.endswith("refused"):
            raise ShopdayError(f"there is no step `{address}`")
        self.logged.append((kind, address))
        return SimpleNamespace(kind=kind, address=address)

    def undo(self) -> SimpleNamespace:
        if not self.logged:
            raise ShopdayError("nothing to take back")
        kind, address = self.logged.pop()
        return SimpleNamespace(kind=kind, address=address)


def later(plan: Plan, job: str, days: int) -> Plan:
    """The plan with one job delivered so many days later, late if that breaks its promise."""

    def moved(row: JobRow) -> JobRow:
        assert row.delivery is not None
        delivery = row.delivery + dt.timedelta(days=days)
        over = row.promise is not None and delivery.date() > row.promise
        return replace(row, delivery=delivery, late_minutes=60 if over else 0)

    return replace(plan, jobs=tuple(moved(row) if row.job == job else row for row in plan.jobs))
