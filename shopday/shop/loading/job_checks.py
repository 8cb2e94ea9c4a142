"""Checks across the fields of a job, and between a job and its shop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from shopday.shop.faults import Fault, suggest
from shopday.shop.loading.shop_checks import ShopSource, twice
from shopday.shop.loading.tolerant_validation import SourceFile
from shopday.shop.models import Job, Material, Wait
from shopday.shop.step_graph import StepProblem, StepRef, refs, waits_of

JobSource = SourceFile[Job]


class Known(NamedTuple):
    """The names that a job may use; None if the file with them could not be read."""

    stations: tuple[str, ...] | None
    gear: tuple[str, ...] | None
    materials: dict[str, Material] | None


def known_names(shop: ShopSource | None, materials: dict[str, Material] | None) -> Known:
    """The names written in shop.toml, including those of entries with faults."""
    return Known(_ids(shop, "stations"), _ids(shop, "gear"), materials)


def _ids(shop: ShopSource | None, group: str) -> tuple[str, ...] | None:
    entries = shop.written.data.get(group, []) if shop else None
    if not isinstance(entries, list):
        return None
    return tuple(e["id"] for e in entries if isinstance(e, dict) and isinstance(e.get("id"), str))


def job_faults(source: JobSource, job_id: str, job: Job, known: Known) -> Iterator[Fault]:
    if job.status == "live" and not source.mended.objections and not any(refs(job_id, job)):
        yield source.fault((), "it holds no step", 'add [[steps]], or set its status to "shelved"')
    yield from twice(source, ("parts",), [part.id for part in job.parts], "the parts")
    for index, part in enumerate(job.parts):
        path = ("parts", index, "steps")
        yield from twice(source, path, [step.id for step in part.steps], f"the steps of `{part.id}`")
    yield from twice(source, ("steps",), [step.id for step in job.steps], "the steps of the whole job")
    for ref in refs(job_id, job):
        yield from _names(source, ref, known)
        yield from _work(source, ref)
        yield from _moisture(source, ref)
        yield from _setup(source, ref)
        yield from _waits(source, ref, known)


def _names(source: JobSource, ref: StepRef, known: Known) -> Iterator[Fault]:
    for index, name in enumerate(ref.step.stations):
        path = (*ref.path, "stations", index)
        if known.stations is not None and name not in known.stations:
            yield source.fault(path, f"no station `{name}`", _other(name, known.stations, known.gear, "gear"))
        elif name in ref.step.stations[:index]:
            yield source.fault(path, f"station `{name}` is named twice", "name it once")
    for name in ref.step.gear:
        if known.gear is not None and name not in known.gear:
            right = _other(name, known.gear, known.stations, "a station")
            yield source.fault((*ref.path, "gear", name), f"no gear `{name}`", right)
    material = ref.step.material
    if known.materials is not None and material is not None and material not in known.materials:
        right = suggest(material, known.materials, "describe it in materials.toml")
        yield source.fault((*ref.path, "material"), f"no material `{material}`", right)


def _other(name: str, known: tuple[str, ...], elsewhere: tuple[str, ...] | None, what: str) -> str:
    if elsewhere and name in elsewhere:
        field = 'stations = ["..."]' if what == "a station" else "gear = { ... = 1 }"
        return f"it is {what}; name it in {field}"
    return suggest(name, known, "add it to shop.toml")


def _work(source: JobSource, ref: StepRef) -> Iterator[Fault]:
    step, touched = ref.step, source.mended.is_touched
    if touched(ref.path, "hands_on", "away", "arrives", "waits"):
        return
    misspelt = any(o.kind == "extra_forbidden" and o.path[:-1] == ref.path for o in source.mended.objections)
    if not step.absent and "hands_on" not in step.model_fields_set and not misspelt:
        yield source.fault(ref.path, f"step `{step.id}` has no `hands_on`", 'add hands_on = "45m"')
    if step.away and step.arrives:
        yield source.fault(
            (*ref.path, "arrives"), f"step `{step.id}` is away and arrives", "make it two steps"
        )
    kind = "away" if step.away else "arrives"
    if step.absent and step.hands_on:
        wrong = f"step `{step.id}` has `{kind}` and `hands_on`"
        yield source.fault((*ref.path, "hands_on"), wrong, "put the work into a step of its own")
    if step.absent and step.waits:
        wrong = f"step `{step.id}` has `{kind}` and `waits`"
        yield source.fault((*ref.path, "waits"), wrong, "put them on the step before or after")


def _moisture(source: JobSource, ref: StepRef) -> Iterator[Fault]:
    asked = ref.step.moisture
    if asked is None or source.mended.is_touched(ref.path, "moisture"):
        return
    path = (*ref.path, "moisture")
    if ref.step.absent:
        yield source.fault(
            path, f"step `{ref.step.id}` needs no hands, so nothing is measured for it", "put it on work"
        )
    if asked.least is not None and asked.most is not None and asked.least > asked.most:
        yield source.fault(
            path, f"`least` is {asked.least:g} and `most` is {asked.most:g}", "write the drier one as `least`"
        )


def _setup(source: JobSource, ref: StepRef) -> Iterator[Fault]:
    setup = ref.step.setup
    if (
        setup is not None
        and setup.takes > ref.step.hands_on
        and not source.mended.is_touched(ref.path, "setup", "hands_on")
    ):
        wrong = f"setting up for `{ref.step.id}` takes longer than its whole `hands_on`"
        yield source.fault((*ref.path, "setup"), wrong, "`takes` is a part of `hands_on`")


def _waits(source: JobSource, ref: StepRef, known: Known) -> Iterator[Fault]:
    if source.mended.is_touched(ref.path, "waits") or ref.step.waits is None:
        return
    names = [wait.name for wait in waits_of(ref.step, known.materials or {})]
    for index, wait in enumerate(ref.step.waits):
        path = (*ref.path, "waits", index)
        if wait.name in names[:index]:
            wrong = f"two waits of `{ref.step.id}` are called `{wait.name}`"
            yield source.fault((*path, "name"), wrong, "give each a name of its own")
        if not source.mended.is_touched(ref.path, "stations", "gear"):
            yield from _keeps(source, ref, index, wait)


def _keeps(source: JobSource, ref: StepRef, index: int, wait: Wait) -> Iterator[Fault]:
    used = (*ref.step.stations, *ref.step.gear)
    for place, name in enumerate(() if wait.keeps == "all" else wait.keeps):
        if name not in used:
            right = 'write keeps = "all"' if name == "all" else suggest(name, (*used, "all"))
            path = (*ref.path, "waits", index, "keeps", place)
            yield source.fault(
                path, f"`keeps` names `{name}`, which step `{ref.step.id}` does not use", right
            )


def order_fault(source: JobSource, problem: StepProblem) -> Fault:
    return source.fault(problem.path, problem.wrong, problem.right)
