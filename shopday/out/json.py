"""The answers as JSON: dicts of plain values, times with their UTC offset.

The shape of each is written down in schemas/.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from shopday.shop.quantities import span_text

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.changes import Move
    from shopday.planning.glance import Day, Waiting
    from shopday.planning.hours import Zone
    from shopday.planning.plan import JobRow, Moment, Plan, PlannedStep, PlannedWait
    from shopday.planning.quote import Quote
    from shopday.shop.models import Person

Answer = dict[str, Any]

VERSION = 1


def show(answer: Answer) -> None:
    """Print it in ASCII alone, so that no name in it can steer a terminal."""
    print(json.dumps(answer, indent=1))


def plan(found: Plan) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(found.now),
        "late": found.late,
        "short": found.short,
        "finish": found.finish,
        "proven": found.proven,
        "late_bound": found.late_bound,
        "short_bound": found.short_bound,
        "finish_bound": found.finish_bound,
        "jobs": list(map(_job, found.jobs)),
        "steps": list(map(step, found.steps)),
        "unplaced": unplaced(found),
    }


def unplaced(found: Plan) -> list[Answer]:
    return [{"address": row.address, "why": row.why} for row in found.unplaced]


def _job(row: JobRow) -> Answer:
    return {
        "job": row.job,
        "title": row.title,
        "promise": row.promise.isoformat() if row.promise else None,
        "delivery": time(row.delivery),
        "floor": time(row.floor),
        "late_minutes": row.late_minutes,
        "reserve_minutes": row.reserve_minutes,
        "short_minutes": row.short_minutes,
        "delivered": row.delivered,
    }


def step(row: PlannedStep) -> Answer:
    return {
        "job": row.job,
        "part": row.part,
        "step": row.step,
        "pass": row.pass_no,
        "name": row.name,
        "kind": row.kind,
        "state": str(row.state),
        "start": time(row.start),
        "end": time(row.end),
        "stretches": [[time(start), time(end)] for start, end in row.stretches],
        "people": list(row.people),
        "stations": list(row.stations),
        "gear": dict(row.gear),
        "waits": list(map(_wait, row.waits)),
        "missed": row.missed,
        "complete": time(row.complete),
        "overdue": row.overdue,
        "put_down": row.put_down,
        "skipped": row.skipped,
    }


def _wait(wait: PlannedWait) -> Answer:
    return {
        "name": wait.name,
        "start": time(wait.start),
        "end": time(wait.end),
        "keeps": list(wait.keeps),
        "free": time(wait.free),
        "still_air": wait.still_air,
        "informs": wait.informs,
    }


def day(found: Plan, today: Day) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(found.now),
        "date": today.date.isoformat(),
        "take_up": step(today.take_up) if today.take_up else None,
        "until": time(today.until),
        "proven": found.proven,
        "lines": [
            {"at": time(line.at), "until": time(line.until), "kind": line.kind, "text": line.text}
            | (_pointer(line.step) if line.step else {"address": None, "pass": None})
            for line in today.lines
        ],
        "could_start": [_pointer(other.step) | {"why": other.why_not_first} for other in today.could_start],
        "unplaced": unplaced(found),
    }


def waiting(found: Plan, rows: tuple[Waiting, ...]) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(found.now),
        "waiting": [
            _pointer(row.step)
            | {
                "what": row.what,
                "kind": row.kind,
                "since": time(row.since),
                "until": time(row.until),
                "share": round(row.share, 3),
                "frees": row.frees,
                "next": row.next,
                "closing": row.closing,
                "closes": time(row.closes),
                "overdue": row.overdue,
            }
            for row in rows
        ],
        "unplaced": unplaced(found),
    }


def quote(found: Quote, safe: Moment | None) -> Answer:
    """`safe`: the date that holds with 80 %."""
    return {
        "job": found.job,
        "earliest": time(found.earliest),
        "safe": time(safe),
        "alone": time(found.alone),
        "moves": list(map(move, found.moves)),
    }


def out(person: Person, moved: Iterable[Move]) -> Answer:
    """When a person is not in, as it stands now, and what moved."""
    spans = [
        {
            "from": out.first.isoformat(),
            "to": out.end.isoformat(),
            "hours": None if out.hours is None else list(map(span_text, out.hours)),
            "why": out.why,
        }
        for out in person.out
    ]
    return {"shopday": VERSION, "person": person.id, "out": spans, "moves": list(map(move, moved))}


def move(row: Move) -> Answer:
    return {"job": row.job, "from": time(row.before), "to": time(row.after), "slips": row.slips}


def fact(row: Fact, zone: Zone) -> Answer:
    logged = {"kind": row.kind, "address": row.address, "pass": row.pass_no, "at": time(zone.moment(row.at))}
    return logged | {"data": row.data}


def _pointer(row: PlannedStep) -> Answer:
    return {"address": row.address, "pass": row.pass_no}


def time(moment: Moment | None) -> str | None:
    return None if moment is None else moment.isoformat(timespec="seconds")
