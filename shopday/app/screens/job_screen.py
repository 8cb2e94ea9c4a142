"""One job: every step in order with its state, and the keys to log and change it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.rows.day_rows import day_heading, step_key
from shopday.app.rows.job_text import chance_line
from shopday.app.rows.jobs_rows import job_standing
from shopday.app.screens.step_screen import StepScreen
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.row_list import Row, RowList
from shopday.planning.questions.costs_text import costs_text
from shopday.planning.questions.obstacles import obstacles
from shopday.text import signs
from shopday.text.cells import fit, wrapped
from shopday.text.durations import work_text
from shopday.text.names import place_text
from shopday.text.safe import clean
from shopday.text.sentences import both
from shopday.text.times import date_text, moment_text

if TYPE_CHECKING:
    from shopday.planning.plan import JobRow, Plan, PlannedStep, Unplaced
    from shopday.shop.models import Job

SIGNS = {
    "done": signs.DONE,
    "not needed": signs.DONE,
    "under way": signs.UNDER_WAY,
    "put down": signs.PUT_DOWN,
    "waiting": signs.WAIT,
    "planned": signs.WORK,
}


STANDS, MOMENT, READY, NAME, MOST_NAME = 10, 16, 22, 24, 60
"""Cells of how a step stands, of its start and of its end; those its name needs beside them, else they stand below;
and the most its name has, so that they stand near it."""


LOST = "lost#"
"""What the keys of rows begin with whose step has no place in the plan, so that there is no card of it."""


class JobScreen(StepScreen):
    PLACE = "jobs"
    HELP_TEXT = (
        "The steps of one job by part. A step is planned, under way, waiting (its work is done and a wait runs) or done. "
        "Keys act on the step under the cursor: d changes its hours and passes, b and n move it, A adds one after it; "
        "m changes the promise, r keeps the job as a recipe with the times it really took, e opens the job's file in your editor."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *screen_keys(),
        Binding("A", "add", "Add a step after it", show=False),
        Binding("b", "move(-1)", "Move it earlier", show=False),
        Binding("n", "move(1)", "Move it later", show=False),
        Binding("m", "promise", "Promise and status", show=False),
        Binding("r", "recipe", "Keep it as a recipe", show=False),
        Binding("M", "status", "Status", show=False),
        Binding("e", "edit", "Editor", show=False),
        Binding("escape", "back", "Back"),
    ]

    _job = ""

    def show_job(self, job: str) -> None:
        """Show this job from now on."""
        self._job, self._drawn = job, ()

    def body(self) -> ComposeResult:
        yield Static("", id="job-head", classes="head", markup=False)
        yield RowList(id="steps")

    def show_plan(self) -> None:
        plan, job = self.state.plan, self.state.open_shop.folder.jobs.get(self._job)
        if plan is None:
            return
        row = plan.job(self._job)
        title = row.title if row else job.title if job else self._job
        noted = [f"{label}: {said}" for label, said in (job.noted() if job else ())]
        lines = [head(title or self._job, row, self.state.now), self._costs(), *noted]
        said = [Content(wrapped(line, self.size.width - 2)) for line in lines if line]
        chance = (
            chance_line(row, self.state.odds, self.state.now.date(), self.size.width - 2) if row else None
        )
        self.query_one("#job-head", Static).update(Content("\n").join([*said, *filter(None, [chance])]))
        rows = job_rows(self._job, job, plan, self.state.now)
        open_rows = (row.key for row in rows if row.subject and row.subject.state != "done")
        self.query_one("#steps", RowList).fill(rows, next(open_rows, ""))

    def on_resize(self) -> None:
        if self.ready:
            self.show_plan()

    def _costs(self) -> str:
        """What the job takes and costs; "" until that is worked out."""
        found = self.state.dashboard.costs.get(self._job) if self.state.dashboard else None
        return costs_text(found) if found is not None else ""

    def selected_step(self) -> PlannedStep | None:
        row = self.query_one("#steps", RowList).current
        return row.subject if row else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        row = self.query_one("#steps", RowList).current
        if row is not None and row.subject is not None and not row.key.startswith(LOST):
            self.session.step_actions.show_step(row.subject)

    def action_add(self) -> None:
        if (step := self.selected_step()) is not None:
            self.session.job_actions.add_step(step)

    def action_move(self, by: int) -> None:
        if (step := self.selected_step()) is not None:
            self.session.job_actions.move(step, by)

    def action_promise(self) -> None:
        self.session.job_actions.change(self._job)

    def action_status(self) -> None:
        self.session.job_actions.ask_status(self._job)

    def action_recipe(self) -> None:
        self.session.job_actions.keep_recipe(self._job)

    def action_edit(self) -> None:
        self.session.job_actions.open_editor(self.session.job_actions.path(self._job))

    def action_back(self) -> None:
        self.app.pop_screen()


def head(title: str, row: JobRow | None, now: dt.datetime) -> str:
    if row is None:
        return f"{title}: not planned"
    promised = f"promised {date_text(row.promise, now.date())}" if row.promise else "no promise"
    if row.delivery is None:
        return f"{title}: cannot be planned, {promised}"
    standing = f", {job_standing(row)[2]}" if row.promise else ""
    return f"{title}: delivers {moment_text(row.delivery, now)}, {promised}{standing}"


def job_rows(id: str, job: Job | None, plan: Plan, now: dt.datetime) -> list[Row]:
    """The steps part by part in the order of the file, one row per pass, and why steps have no place."""
    names = {part.id: part.label for part in job.parts} if job else {}
    rows: list[Row] = []
    last: str | None = ""
    order = {part: place for place, part in enumerate([*names, None])}
    steps = sorted((s for s in plan.steps if s.job == id), key=lambda s: order.get(s.part, 0))
    longest = max((cell_len(clean(step.label)) for step in steps), default=0)
    for step in steps:
        if step.part != last:
            last = step.part
            rows.append(
                day_heading(f"part#{last}", names.get(last or "", last or "") if last else "The whole job")
            )
        rows.append(_step(step, now, max(NAME, min(MOST_NAME, longest + 1))))
    rows += _unplanned(plan, id, job)
    return rows or list(_written(job))


def _written(job: Job | None) -> Iterator[Row]:
    """The steps of a job that is not planned, as its file has them."""
    groups = [(part.label, part.steps) for part in job.parts] if job else []
    for name, steps in [*groups, ("The whole job", job.steps if job else [])]:
        if steps:
            yield day_heading(f"part#{name}", name)
        for step in steps:
            passes = f" ({step.passes} passes)" if step.passes > 1 else ""
            work = f", {work_text(step.hands_on)}" if step.hands_on else ""
            yield _plain(f"{name}#{step.id}", f"{signs.OTHER} {step.label}{passes}{work}")


def _unplanned(plan: Plan, id: str, job: Job | None) -> Iterator[Row]:
    found = obstacles(plan, id)
    for each in found.by_reason:
        said = f"! {_labels(each.rows, job)}: {each.why} If it was done all the same, S and F log when."
        yield _plain(each.rows[0].address, said, _unplanned_step(plan, each.rows[0], job))
    if found.waiting:
        yield _plain("waiting", f"! For that wait: {_labels(found.waiting, job)}.")


def _labels(rows: Iterable[Unplaced], job: Job | None) -> str:
    return both(dict.fromkeys(_label(row.address, job) for row in rows))


def _label(address: str, job: Job | None) -> str:
    """A step of the job, by its name; the address if that is the job's own, or the job cannot be read."""
    _, *path = address.split("/")
    step = job.step_at(path[0] if len(path) > 1 else None, path[-1]) if job is not None and path else None
    return step.label if step is not None else address


def _unplanned_step(plan: Plan, row: Unplaced, job: Job | None) -> PlannedStep | None:
    """The step as if it were planned for now, so that it can be changed, or logged if it was done; None of a job that
    cannot be read."""
    from shopday.planning.plan import PlannedStep, State

    id, *path = row.address.split("/")
    part = path[0] if len(path) > 1 else None
    step = job.step_at(part, path[-1]) if job is not None and path else None
    if job is None or step is None:
        return None
    passes = [known.pass_no for known in plan.steps if known.address == row.address]
    place = place_text(next((p.label for p in job.parts if p.id == part), None), job.title or id)
    return PlannedStep(
        id, part, step.id, 1 + max(passes, default=0), step.passes, step.label, State.PLANNED,
        plan.now, plan.now, plan.now, place=place,
    )  # fmt: skip


def _plain(key: str, text: str, step: PlannedStep | None = None) -> Row:
    said = clean(text)
    return Row(
        f"{LOST}{key}", lambda width: Content(wrapped(said, width - 2, 2)), heading=step is None, subject=step
    )


def _step(step: PlannedStep, now: dt.datetime, most: int) -> Row:
    """most: the most cells of a name, so that the times stand near it."""

    def draw(width: int) -> Content:
        faint = "$muted" if step.state == "done" else ""
        sign = (f"{SIGNS[step.stands]} ", "$accent")
        starts, ends = moment_text(step.start, now), f"ready {moment_text(step.complete, now)}"
        times = f" {fit(step.stands, STANDS)} {fit(starts, max(MOMENT, cell_len(starts)))} "
        name = min(most, width - 2 - cell_len(times) - max(READY, cell_len(ends)))
        if name >= NAME:
            first, *more = wrapped(step.label, name).split("\n")
            return Content.assemble(
                sign,
                (fit(first, name) + times, faint),
                (fit(ends, width - 2 - name - cell_len(times)), "$muted"),
                ("".join(f"\n  {line}" for line in more), faint),
            )
        below = wrapped(f"{step.stands}, {starts}, {ends}", width - 2, 2)
        return Content.assemble(sign, (wrapped(step.label, width - 2, 2), faint), "\n  ", (below, "$muted"))

    return Row(step_key(step), draw, subject=step)
