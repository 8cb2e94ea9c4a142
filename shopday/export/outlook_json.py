"""Odds, helps and lessons as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.export.answers_json import VERSION, JsonAnswer, time_json, unplaced_json

if TYPE_CHECKING:
    from shopday.planning.lessons.learned_lessons import Lesson
    from shopday.planning.odds.delivery_odds import JobOdds, Odds
    from shopday.planning.plan import Moment, Plan
    from shopday.planning.whatif.ranking import HelpsSoFar


def odds_json(plan: Plan, found: Odds, job: str | None = None) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(plan.now),
        "draws": found.draws,
        "jobs": [{"job": row.job, **chances_json(row)} for row in found.jobs if job in (None, row.job)],
        "unplaced": unplaced_json(plan),
    }


def chances_json(row: JobOdds) -> JsonAnswer:
    """Dates that hold with 50, 80 and 95 %, the chance of the promise, and where the uncertainty comes from."""
    return {
        "p50": time_json(row.p50),
        "p80": time_json(row.p80),
        "p95": time_json(row.p95),
        "promise": row.promise,
        "risks": [{"address": risk.address, "share": round(risk.share, 3)} for risk in row.risks],
    }


def helps_json(plan: Plan, so_far: HelpsSoFar, job: str | None) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(plan.now),
        "job": job,
        "helps": [
            {"change": row.text, "job": row.job, "promises": row.promises, "earlier": row.earlier}
            for row in so_far.found
        ],
        "complete": so_far.done == so_far.steps,
        "unplaced": unplaced_json(plan),
    }


def learned_json(now: Moment, lessons: tuple[Lesson, ...]) -> JsonAnswer:
    return {
        "shopday": VERSION,
        "now": time_json(now),
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
