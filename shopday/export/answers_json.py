"""The answers as JSON: dicts of plain values, times with their UTC offset.

The form of each answer is described in schemas/.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from shopday.shop.quantities import span_text

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.encoding.open_hours import Zone
    from shopday.planning.plan import JobRow, Moment, Plan, PlannedStep, PlannedWait
    from shopday.planning.questions.concerns import Concern
    from shopday.planning.questions.dashboard_types import DayView, WaitingItem
    from shopday.planning.questions.job_costs import JobCosts, Outlay
    from shopday.planning.questions.plan_changes import DeliveryMove
    from shopday.planning.questions.purchase_text import Purchase
    from shopday.planning.questions.quote import Quote
    from shopday.shop.faults import Fault
    from shopday.shop.models import Person

JsonAnswer = dict[str, Any]

VERSION = 1


def moment_json(answer: JsonAnswer) -> None:
    """Print the answer, in ASCII alone, so that no name in it can steer a terminal."""
    print(json.dumps(answer, indent=1))


def plan_json(found: Plan) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(found.now),
        "late": found.late,
        "short": found.short,
        "finish": found.finish,
        "proven": found.proven,
        "late_bound": found.late_bound,
        "short_bound": found.short_bound,
        "finish_bound": found.finish_bound,
        "jobs": list(map(_job, found.jobs)),
        "steps": list(map(step_json, found.steps)),
        "unplaced": unplaced_json(found),
    }


def fault(found: Fault) -> JsonAnswer:
    return {"file": found.file, "line": found.line, "wrong": found.wrong, "right": found.right}


def concerns_json(found: Iterable[Concern]) -> list[JsonAnswer]:
    return [_pointer(row.step) | {"text": row.text} for row in found]


def unplaced_json(found: Plan) -> list[JsonAnswer]:
    return [{"address": row.address, "why": row.why} for row in found.unplaced]


def _job(row: JobRow) -> JsonAnswer:
    return {
        "job": row.job,
        "title": row.title,
        "promise": row.promise.isoformat() if row.promise else None,
        "delivery": time_json(row.delivery),
        "floor": time_json(row.floor),
        "late_minutes": row.late_minutes,
        "reserve_minutes": row.reserve_minutes,
        "short_minutes": row.short_minutes,
        "delivered": row.delivered,
    }


def step_json(row: PlannedStep) -> JsonAnswer:
    return {
        "job": row.job,
        "part": row.part,
        "step": row.step,
        "pass": row.pass_no,
        "name": row.name,
        "kind": row.kind,
        "state": str(row.state),
        "start": time_json(row.start),
        "end": time_json(row.end),
        "stretches": [[time_json(start), time_json(end)] for start, end in row.stretches],
        "people": list(row.people),
        "stations": list(row.stations),
        "gear": dict(row.gear),
        "waits": list(map(_wait, row.waits)),
        "missed": row.missed,
        "complete": time_json(row.complete),
        "overdue": row.overdue,
        "put_down": row.put_down,
        "skipped": row.skipped,
    }


def _wait(wait: PlannedWait) -> JsonAnswer:
    return {
        "name": wait.name,
        "start": time_json(wait.start),
        "end": time_json(wait.end),
        "keeps": list(wait.keeps),
        "free": time_json(wait.free),
        "still_air": wait.still_air,
        "informs": wait.informs,
    }


def day_json(found: Plan, today: DayView) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(found.now),
        "date": today.date.isoformat(),
        "take_up": step_json(today.take_up) if today.take_up else None,
        "until": time_json(today.until),
        "concerns": list(today.concerns),
        "cautions": list(today.cautions),
        "batches": list(today.batches),
        "stuck": list(today.stuck),
        "proven": found.proven,
        "lines": [
            {"at": time_json(line.at), "until": time_json(line.until), "kind": line.kind, "text": line.text}
            | (_pointer(line.step) if line.step else {"address": None, "pass": None})
            for line in today.lines
        ],
        "could_start": [_pointer(other.step) | {"why": other.why_not_first} for other in today.could_start],
        "unplaced": unplaced_json(found),
    }


def waiting_json(found: Plan, rows: tuple[WaitingItem, ...], to_get: tuple[Purchase, ...]) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(found.now),
        "waiting": [
            _pointer(row.step)
            | {
                "what": row.what,
                "kind": row.kind,
                "since": time_json(row.since),
                "until": time_json(row.until),
                "share": round(row.share, 3),
                "frees": row.frees,
                "next": row.next,
                "closing": row.closing,
                "closes": time_json(row.closes),
                "overdue": row.overdue,
            }
            for row in rows
        ],
        "to_get": list(map(_purchase, to_get)),
        "unplaced": unplaced_json(found),
    }


def _purchase(row: Purchase) -> JsonAnswer:
    days = {
        name: None if day is None else day.isoformat()
        for name, day in (
            ("by", row.by), ("planned", row.planned), ("ordered", row.ordered), ("asked", row.asked), ("call_by", row.call_by)
        )
    }  # fmt: skip
    told = {"state": row.state, "what": row.what, "urgent": row.urgent, "late": row.late, "text": row.text}
    return _pointer(row.step) | told | days


def quote_json(found: Quote, safe: Moment | None) -> JsonAnswer:
    """A quote. safe: the date that holds with 80 %."""
    return {
        "job": found.job,
        "earliest": time_json(found.earliest),
        "safe": time_json(safe),
        "alone": time_json(found.alone),
        "moves": list(map(move_json, found.moves)),
        "costs": costs_json(found.costs),
    }


def costs_json(found: JobCosts) -> JsonAnswer:
    """The hours and costs of a job, in all and by step."""
    steps = [
        {"address": step.address, "name": step.name, "over": step.over, "unpriced": list(step.unpriced)}
        | {"estimate": _outlay(step.estimate), "actual": _outlay(step.actual)}
        for step in found.steps
    ]
    whole = {"estimate": _outlay(found.estimate), "actual": _outlay(found.actual)}
    return {"currency": found.currency, **whole, "steps": steps}


def _outlay(found: Outlay) -> JsonAnswer:
    sums = {name: round(getattr(found, name), 2) for name in ("work", "materials", "bought", "total")}
    return {"minutes": found.minutes, **sums}


def days_out_json(person: Person, moved: Iterable[DeliveryMove]) -> JsonAnswer:
    """When a person is out, as it stands now, and what moved."""
    spans = [
        {
            "from": out.first.isoformat(),
            "to": out.end.isoformat(),
            "hours": None if out.hours is None else list(map(span_text, out.hours)),
            "why": out.why,
        }
        for out in person.out
    ]
    return {"shopday": VERSION, "person": person.id, "out": spans, "moves": list(map(move_json, moved))}


def move_json(row: DeliveryMove) -> JsonAnswer:
    return {"job": row.job, "from": time_json(row.before), "to": time_json(row.after), "slips": row.slips}


def fact_json(row: Fact, zone: Zone) -> JsonAnswer:
    logged = {
        "kind": row.kind,
        "address": row.address,
        "pass": row.pass_no,
        "at": time_json(zone.moment(row.at)),
    }
    return logged | {"data": row.data}


def _pointer(row: PlannedStep) -> JsonAnswer:
    return {"address": row.address, "pass": row.pass_no}


def time_json(moment: Moment | None) -> str | None:
    return None if moment is None else moment.isoformat(timespec="seconds")
