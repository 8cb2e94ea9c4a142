"""Everything that can be done to a job: its promise, its steps and their order, its file in an editor."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app.dialogs.form_dialog import Blank, Fields, FormDialog, SeenFile
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.forms import parse_field
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.editing.file_edits import insert_step, move_step, set_job_fields, write_job
from shopday.shop.models import Step
from shopday.shop.quantities import minutes
from shopday.text.names import free_slug

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import PlannedStep
    from shopday.shop.models import Job


STATUS_ANSWERS = {
    "delivered": "Delivered: it has left the shop",
    "shelved": "Shelve it for now",
    "cancelled": "Cancel it",
    "quote": "Make it a quote",
    "live": "Plan it",
}
"""The answers from which the person chooses a new status."""
STATUS_TOLD = {
    "delivered": "Delivered", "shelved": "Shelved", "cancelled": "Cancelled", "quote": "Made a quote", "live": "Planned",
}  # fmt: skip
STATUS_HELP = "Its file stays, and what was logged of it; only a job that is planned takes time."


class JobActions:
    """Changes job files, has the shop planned again, and shows what moves."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def path(self, job: str) -> Path:
        return self.session.state.folder / "jobs" / f"{job}.toml"

    def edit(
        self, path: Path, what: str, change: Callable[[], None], show: bool = True, mind: Sequence[str] = ()
    ) -> bool:
        """Change a file and plan again; False if the change failed. mind: cautions to tell with what moves."""
        return self.edit_all([path], what, change, show, mind)

    def edit_all(
        self,
        paths: Sequence[Path],
        what: str,
        change: Callable[[], None],
        show: bool = True,
        mind: Sequence[str] = (),
    ) -> bool:
        """Change files in one edit, which is undone as one, and plan again; False if the change failed."""
        if not self.session.attempt(lambda: self.session.state.edit(paths, what, change)):
            return False
        self.session.plan_updates.replan(what, show_moves=show, mind=mind)
        return True

    def change(self, id: str) -> None:
        """Open the form for the promise, weight and begin of a job."""
        from shopday.app.forms.job_form import job_form

        seen = self.seen(self.path(id))
        job = self.session.state.open_shop.folder.jobs.get(id)
        if job is not None:
            form = job_form(id, job, seen, self.session.state.now.date())
            self.session.open_dialog(form, lambda fields: self._changed(id, fields, seen))

    def seen(self, path: Path) -> SeenFile:
        """The file as it is now. The app reads it again too, so that the form and the plan agree."""
        seen = SeenFile.of(path)
        self.session.check_files()
        return seen

    def _changed(self, id: str, fields: Fields | None, seen: SeenFile) -> None:
        if fields:
            path, job = self.path(id), self.session.state.open_shop.folder.jobs.get(id)
            what = f"Changed: {job.title if job is not None and job.title else id}"
            self.edit(path, what, lambda: set_job_fields(path, fields, seen.content))

    def accept(self, id: str) -> None:
        """Turn a quote into a job."""
        folder = self.session.state.open_shop.folder
        job = folder.jobs.get(id)
        if not self.session.attempt(lambda: folder.require_read(id)):
            return
        if job is None or job.status == "live":
            self.session.say("That is no quote: it is planned already.")
        else:
            what = f"Accepted: {job.title or id}"
            self.edit(self.path(id), what, lambda: set_job_fields(self.path(id), {"status": "live"}))

    def ask_status(self, id: str) -> None:
        """Ask for the new status of a job: delivered, shelved, cancelled, a quote, or planned again."""
        job = self.session.state.open_shop.folder.jobs.get(id)
        if job is None or not self.session.attempt(
            lambda: self.session.state.open_shop.folder.require_read(id)
        ):
            return
        answers = [says for status, says in STATUS_ANSWERS.items() if status != job.status]
        question = QuestionDialog(f"What becomes of {job.title or id}?", STATUS_HELP, answers)
        self.session.open_dialog(question, lambda answer: self._set_status(id, job.title or id, answer))

    def _set_status(self, id: str, title: str, answer: str | None) -> None:
        status = next((status for status, says in STATUS_ANSWERS.items() if says == answer), None)
        if status is not None:
            what = f"{STATUS_TOLD[status]}: {title}"
            self.edit(self.path(id), what, lambda: set_job_fields(self.path(id), {"status": status}))

    def duplicate(self, id: str) -> None:
        """Copy the job's file, with its comments, to a new quote without dates."""
        jobs = self.session.state.open_shop.folder.jobs
        if (job := jobs.get(id)) is None:
            return
        title = f"{job.title or id}, again"
        path = self.path(free_slug(title, jobs))

        def copy() -> None:
            replace_file(path, self.path(id).read_bytes(), None)
            set_job_fields(path, {"title": title, "status": "quote", "promise": None, "begin": None})

        self.edit(path, f"Duplicated as a quote: {title}", copy, show=False)

    def keep(self, id: str, job: Job, status: str, mind: Sequence[str]) -> bool:
        """Write a new job's file; True if it was kept."""
        kept = job.model_copy(update={"status": status})
        word = "Accepted" if status == "live" else "Kept as a quote"
        change = f"{word}: {job.title}"
        path = self.path(id)
        return self.edit(path, change, lambda: write_job(path, kept), show=status == "live", mind=mind)

    def keep_recipe(self, id: str) -> None:
        """Save the job as a recipe, with the times it really took."""
        question = QuestionDialog(
            "Keep it as a recipe",
            "What is the recipe called? Letters a-z, digits and -; press Enter.",
            (),
            _recipe_name,
            id,
        )
        self.session.open_dialog(question, lambda name: self._keep_recipe(id, name))

    def _keep_recipe(self, id: str, name: str | None) -> None:
        from shopday.planning.lessons.job_to_recipe import keep_recipe

        state = self.session.state
        if name is None:
            return
        made = list[Path]()
        if self.session.attempt(lambda: made.append(keep_recipe(state.open_shop, id, name.strip()))):
            self.session.tell(f"Kept as recipes/{made[0].name}; choose it in a new job.")

    def open_editor(self, path: Path) -> None:
        """Open the file in the person's editor, then read the changes."""
        before = path.read_bytes() if path.exists() else None
        if self.session.attempt(lambda: self.session.edit_by_hand(path)):
            after = path.read_bytes() if path.exists() else None
            if after != before:
                self.session.check_files()

    # ------------------------------------------------------------ its steps

    def move(self, step: PlannedStep, by: int) -> None:
        """Move a step earlier or later among those of its part."""
        ids = self._ids(step)
        place = ids.index(step.step) + by
        if not 0 <= place < len(ids):
            end, part = (
                "last" if by > 0 else "first",
                "of the whole job" if step.part is None else "of its part",
            )
            self.session.say(f"{step.name} is the {end} step {part} already.")
            return
        path, way = self.path(step.job), "later" if by > 0 else "earlier"
        self.edit(
            path,
            f"Moved {way}: {step.name}",
            lambda: move_step(path, step.part, step.step, place),
            show=False,
        )

    def add_step(self, after: PlannedStep) -> None:
        """Add a step after this one."""
        blanks = [
            Blank("name", "What is to do", "", "Drill for the dowels"),
            Blank("hands_on", "Hands-on time", "30m", "1h 30m", parse_field.field_duration),
        ]
        form = FormDialog(f"A step after {after.name}", blanks, everything=True)
        self.session.open_dialog(form, lambda fields: self._add(after, fields))

    def _add(self, after: PlannedStep, fields: Fields | None) -> None:
        if fields is None:
            return
        name, ids = str(fields["name"] or "New step"), self._ids(after)
        step = Step(id=free_slug(name, ids), name=name, hands_on=minutes(fields["hands_on"] or "0m"))
        path, place = self.path(after.job), ids.index(after.step) + 1
        self.edit(path, f"Added: {name}", lambda: insert_step(path, after.part, step, place))

    def _ids(self, step: PlannedStep) -> list[str]:
        job = self.session.state.open_shop.folder.jobs[step.job]
        steps = job.steps if step.part is None else next(p.steps for p in job.parts if p.id == step.part)
        return [other.id for other in steps]


def _recipe_name(text: str) -> str:
    if free_slug(text, ()) != text.strip():
        raise ValueError(f"{text} cannot name a recipe; write it as {free_slug(text, ())}")
    return text
