"""Jobs and steps in the command list, found by any part of their names, notes and references."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, cast

from textual.command import Hit, Hits, Provider
from textual.content import Content

from shopday.app.rows.day_rows import job_title
from shopday.app.rows.jobs_rows import matches, noted, step_notes
from shopday.app.session_messages import JobOpened
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.shop.models import Job

MOST = 30
"""The most hits of each kind; a longer query narrows them."""


class FindProvider(Provider):
    """A job opens its steps; a step opens its dialog."""

    async def search(self, query: str) -> Hits:
        app = cast("ShopdayApp", self.app)
        plan, jobs = app.session.state.plan, app.session.state.open_shop.folder.jobs
        found = [
            (id, job) for id, job in jobs.items() if matches(query, job.title, job.customer, id, noted(job))
        ]
        for id, job in found[:MOST]:
            title = _title(query, job.title or id, f"{job.customer} {id}", noted(job))
            yield _hit(0.6, title, partial(app.post_message, JobOpened(id)), "job")
        for step, seen in _coming(plan, jobs, query) if plan else ():
            named = f"{step.label}, {job_title(plan, step.job)}" if plan else ""
            title = _title(query, named, "", seen)
            yield _hit(0.4, title, partial(app.session.step_actions.show_step, step), "step")


def _title(query: str, named: str, known: str, seen: str) -> str:
    """The name, with its note and references if it was found by them."""
    return named if matches(query, named, known) else f"{named}: {seen}"


def _coming(plan: Plan, jobs: Mapping[str, Job], query: str) -> list[tuple[PlannedStep, str]]:
    """Steps to be done, each with its note and references."""
    notes = step_notes(jobs)
    coming = (
        (step, notes.get((step.job, step.part, step.step), "")) for step in plan.steps if step.state != "done"
    )
    return [(step, seen) for step, seen in coming if matches(query, step.label, seen)][:MOST]


def _hit(score: float, title: str, command: Callable[[], object], help: str) -> Hit:
    """A hit whose text, typed by people, is shown literally."""
    return Hit(score, Content(clean(title)), command, clean(title), help)
