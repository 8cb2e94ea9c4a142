"""Jobs and steps in the command list, found by any part of their names."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, cast

from textual.command import Hit, Hits, Provider
from textual.content import Content

from shopday.app.rows.day_rows import job_title
from shopday.app.rows.jobs_rows import matches
from shopday.app.session_messages import JobOpened
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp
    from shopday.planning.plan import Plan, PlannedStep

MOST = 30
"""The most hits of each kind; a longer query narrows them."""


class FindProvider(Provider):
    """A job opens its steps; a step opens its dialog."""

    async def search(self, query: str) -> Hits:
        app = cast("ShopdayApp", self.app)
        plan, jobs = app.session.state.plan, app.session.state.open_shop.folder.jobs
        found = [(id, job) for id, job in jobs.items() if matches(query, job.title, job.customer, id)]
        for id, job in found[:MOST]:
            yield _hit(0.6, job.title or id, partial(app.post_message, JobOpened(id)), "job")
        for step in _coming(plan, query) if plan else ():
            title = f"{step.label}, {job_title(plan, step.job)}" if plan else ""
            yield _hit(0.4, title, partial(app.session.step_actions.show_step, step), "step")


def _coming(plan: Plan, query: str) -> list[PlannedStep]:
    return [step for step in plan.steps if step.state != "done" and matches(query, step.label)][:MOST]


def _hit(score: float, title: str, command: Callable[[], object], help: str) -> Hit:
    """A hit whose text, typed by people, is shown literally."""
    return Hit(score, Content(clean(title)), command, clean(title), help)
