"""Odds, helps and lessons as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.out.json import VERSION, Answer, time, unplaced

if TYPE_CHECKING:
    from shopday.planning.helping import Help
    from shopday.planning.learning import Lesson
    from shopday.planning.odds import JobOdds, Odds
    from shopday.planning.plan import Moment, Plan


def odds(plan: Plan, found: Odds, job: str | None = None) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(plan.now),
        "draws": found.draws,
        "jobs": [{"job": row.job, **chances(row)} for row in found.jobs if job in (None, row.job)],
        "unplaced": unplaced(plan),
    }


def chances(row: JobOdds) -> Answer:
    """Dates that hold with 50, 80 and 95 %, the chance of the promise, and where the doubt comes from."""
    return {
        "p50": time(row.p50),
        "p80": time(row.p80),
        "p95": time(row.p95),
        "promise": row.promise,
        "risks": [{"address": risk.address, "share": round(risk.share, 3)} for risk in row.risks],
    }


def helps(plan: Plan, found: tuple[Help, ...], job: str | None) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(plan.now),
        "job": job,
        "helps": [
            {"change": row.text, "job": row.job, "promises": row.promises, "earlier": row.earlier}
            for row in found
        ],
        "unplaced": unplaced(plan),
    }


def learned(now: Moment, lessons: tuple[Lesson, ...]) -> Answer:
    return {
        "shopday": VERSION,
        "now": time(now),
        "lessons": [
            {
                "of": lesson.of,
                "kind": lesson.kind,
                "name": lesson.name,
                "factor": round(lesson.factor, 3),
                "least": round(lesson.least, 3),
                "most": round(lesson.most, 3),
                "text": lesson.text,
                "cases": [
                    {
                        "address": case.address,
                        "pass": case.pass_no,
                        "estimate": case.estimate,
                        "actual": case.actual,
                    }
                    for case in lesson.cases
                ],
            }
            for lesson in lessons
        ],
    }
