"""What steps, parts and things are called in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopday.planning.plan import PlannedStep
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Step
from shopday.shop.step_graph import StepRef, expand
from shopday.text.names import in_sentence, place_text
from shopday.text.sentences import both


def place(folder: ShopFolder, step: PlannedStep | StepRef) -> str:
    """Where a step belongs: "Desk top of Cherry desk", or the job's title alone."""
    job = folder.jobs[step.job]
    title = job.title or step.job
    part = next((part.label for part in job.parts if part.id == step.part), None)
    return place_text(part, title)


def full_name(folder: ShopFolder, ref: StepRef) -> str:
    """A step with its place: "Glue up the top (Desk top of Cherry desk)"."""
    return f"{ref.step.label} ({place(folder, ref)})"


def full_names(folder: ShopFolder) -> dict[str, str]:
    """The full names of all steps of all jobs, by address."""
    every = folder.all_live()
    return {address: full_name(every, ref) for address, ref in expand(every).steps.items()}


def brief(step: PlannedStep, beside: PlannedStep | None = None) -> str:
    """The step's name; with its place, unless `beside` is a step of the same part."""
    same = beside is not None and (beside.job, beside.part) == (step.job, step.part)
    return step.label if same else step.full


def of_job(folder: ShopFolder, ref: StepRef, job: str) -> str:
    """The name of a step where this job is spoken of: "Glue up the top (Desk top)"; other jobs' steps have their
    place."""
    if ref.job != job:
        return full_name(folder, ref)
    part = next((part.label for part in folder.jobs[job].parts if part.id == ref.part), None)
    return ref.step.label if part is None else f"{ref.step.label} ({part})"


def written(folder: ShopFolder, step: PlannedStep) -> Step:
    """The step as it stands in its file."""
    found = folder.jobs[step.job].step_at(step.part, step.step)
    assert found is not None  # every step of a plan is in its folder
    return found


def things(folder: ShopFolder, ids: Iterable[str], gear: Mapping[str, int]) -> str:
    """Stations and gear by name, gear with its count: "the bench and 6 long clamps"."""
    names = {station.id: f"the {in_sentence(station.name or station.id)}" for station in folder.shop.stations}
    names |= {
        kind.id: f"{gear.get(kind.id, 1)} {in_sentence(kind.name or kind.id)}" for kind in folder.shop.gear
    }
    return both(names.get(id, id) for id in ids)


def errand(folder: ShopFolder, step: PlannedStep) -> str:
    """What an absence is about: "hinges from the supplier", "the powder coater"."""
    thing, source = thing_and_source(folder, step)
    if step.kind == "arrives":
        return f"{thing} from {source}" if source else thing
    return source or thing


def thing_and_source(folder: ShopFolder, step: PlannedStep) -> tuple[str, str]:
    """What comes, or what is done to what is away; and who it comes from or goes to, "" if that is not known."""
    own = written(folder, step)
    if own.arrives is not None:
        return own.arrives.what or own.label, own.arrives.source or ""
    return step.label, own.away.who or "" if own.away is not None else ""
