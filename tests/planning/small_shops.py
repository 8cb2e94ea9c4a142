"""Shops of a few lines for tests, and plans of them that were checked."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, PlannedStep
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result

WEEK = '["08:00-12:00", "13:00-17:00"]'
SHOP = f"""
name = "Test shop"
timezone = "Europe/Berlin"
[hours]
monday = {WEEK}
tuesday = {WEEK}
wednesday = {WEEK}
thursday = {WEEK}
friday = {WEEK}
"""
HELPER = """
[[people]]
id = "ada"
[[people]]
id = "kit"
role = "helper"
hours = { wednesday = ["10:00-12:00"] }
"""
MONDAY = "2026-03-02T08:00"


def open_shop(folder: Path, *, now: str = MONDAY, shop: str = "", head: str = SHOP, **files: str) -> OpenShop:
    """A shop with jobs by name (a_b is job a-b); `shop` is added to shop.toml, `materials` is the book's file."""
    (folder / "jobs").mkdir(exist_ok=True)
    (folder / "shop.toml").write_text(head + shop, "utf-8")
    for name, text in files.items():
        path = (
            folder / "materials.toml"
            if name == "materials"
            else folder / "jobs" / f"{name.replace('_', '-')}.toml"
        )
        path.write_text(text, "utf-8")
    return OpenShop(folder, dt.datetime.fromisoformat(now))


def later(shop: OpenShop, now: str) -> OpenShop:
    """The same shop at another time."""
    return OpenShop(shop.path, dt.datetime.fromisoformat(now))


def planned(shop: OpenShop) -> Plan:
    """Its plan, after an independent check of the schedule behind it."""
    *_, (built, result) = filter(None, improved_plans(shop.folder, shop.state(), shop.minute()))
    assert verify_result(built.problem, result) == []
    return decode_plan(built, result)


def row(plan: Plan, address: str, pass_no: int = 1) -> PlannedStep:
    step = plan.step(address, pass_no)
    assert step is not None, f"{address} is not in the plan: {plan.unplaced}"
    return step


def start(plan: Plan, address: str, pass_no: int = 1) -> str:
    """Local start, such as "Mon 08:00"."""
    return said(row(plan, address, pass_no).start)


def said(moment: dt.datetime | None) -> str:
    if moment is None:
        return "never"
    return f"{('Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun')[moment.weekday()]} {moment:%H:%M}"


def steps(*lines: str) -> str:
    """A job of whole-job steps, one a line: `a 1h`, or `a 1h | stations = ["bench"]`."""
    return "".join(map(_step, lines))


def _step(line: str) -> str:
    head, _, more = line.partition("|")
    name, _, hands_on = head.strip().partition(" ")
    work = f'hands_on = "{hands_on.strip()}"\n' if hands_on.strip() else ""
    fields = "\n".join(part.strip() for part in more.split(";"))
    return f'[[steps]]\nid = "{name}"\n{work}{fields}\n'
