"""Reading a shop folder: everything in it, or every fault in it.

One look shows all faults of all files, each with its file and line; a fault that may only follow from
another one is kept back until that is mended.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from shopday.shop.addresses import Expansion, Problem, expand, refs
from shopday.shop.book_reading import read_materials
from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, SHOP_FILE, ShopFolder
from shopday.shop.job_checks import JobSource, Known, job_faults, known_names, order_fault
from shopday.shop.mending import read_source
from shopday.shop.models import Job, Material, Shop
from shopday.shop.shop_checks import ShopSource, shop_faults
from shopday.shop.toml import read_toml
from shopday.shop.wording import slug

_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,59}", re.ASCII)

MOST_PASSES = 20_000
"""A hundred years of work for one maker."""


def read_folder(path: Path) -> ShopFolder:
    """The whole shop; raises `ShopFaults` with all faults of all files."""
    _require_shop(path)
    return _Reading(path).folder()


def read_job(path: Path, folder: ShopFolder) -> tuple[str, Job]:
    """A job file beside the shop, checked against it; its id comes from the file's name."""
    name = str(path)
    source = read_source(Job, read_toml(path, name))
    job_id = _free_id(path, folder)
    faults = list(source.objections())
    if job := source.mended.value:
        stations = tuple(station.id for station in folder.shop.stations)
        gear = tuple(thing.id for thing in folder.shop.gear)
        faults += job_faults(source, job_id, job, Known(stations, gear, folder.materials))
        joint = ShopFolder(folder.path, folder.shop, {**folder.jobs, job_id: job}, folder.materials)
        faults += _Orders({job_id: source}, set()).faults(joint)
    if faults or job is None:
        raise ShopFaults(faults)
    return job_id, job


def _free_id(path: Path, folder: ShopFolder) -> str:
    stem = slug(path.stem) or "job"
    if path.resolve() == (folder.path / JOBS_FOLDER / f"{stem}.toml").resolve():
        return stem
    number, found = 2, stem
    while found in folder.jobs:
        found, number = f"{stem[:56]}-{number}", number + 1
    return found


def _require_shop(path: Path) -> None:
    right = "`shopday demo` shows a whole shop; `--shop DIR` names yours"
    try:
        if (path / SHOP_FILE).exists() or (path / SHOP_FILE).is_symlink():
            return
        wrong = f"no {SHOP_FILE} here" if path.is_dir() else "there is no such folder"
    except (OSError, ValueError):
        wrong, right = "you may not look into it", "give yourself the right, or name another folder"
    raise ShopFaults([Fault(str(path), None, wrong, right)])


@dataclass
class _Reading:
    path: Path
    faults: list[Fault] = field(default_factory=list)
    jobs: dict[str, JobSource] = field(default_factory=dict)
    unread: set[str] = field(default_factory=set)

    def folder(self) -> ShopFolder:
        source, materials = self._shop(), self._materials()
        self._read_jobs()
        shop = source.mended.value if source else None
        if source and shop:
            self.faults += shop_faults(source, shop)
        known = known_names(source, materials)
        jobs = {key: job.mended.value for key, job in self.jobs.items() if job.mended.value}
        for key, job in jobs.items():
            self.faults += job_faults(self.jobs[key], key, job, known)
        self.faults += _too_much(jobs)
        folder = ShopFolder(self.path, shop or Shop(name="", timezone="UTC"), jobs, materials or {})
        self.faults += _Orders(self.jobs, self.unread, materials is not None).faults(folder)
        if self.faults:
            raise ShopFaults(self.faults)
        return folder

    def _shop(self) -> ShopSource | None:
        try:
            source = read_source(Shop, read_toml(self.path / SHOP_FILE, SHOP_FILE, self.path))
        except ShopFaults as error:
            self.faults += error.faults
            return None
        self.faults += source.objections()
        return source

    def _materials(self) -> dict[str, Material] | None:
        file = self.path / MATERIALS_FILE
        try:
            written = (
                read_toml(file, MATERIALS_FILE, self.path) if file.exists() or file.is_symlink() else None
            )
            return read_materials(written)
        except ShopFaults as error:
            self.faults += error.faults
            return None

    def _read_jobs(self) -> None:
        for file in self._job_files():
            name, job_id = f"{JOBS_FOLDER}/{file.name}", file.stem
            if not _ID.fullmatch(job_id):
                job_id = self._misnamed(name, file.stem)
            try:
                source: JobSource = read_source(Job, read_toml(file, name, self.path))
            except ShopFaults as error:
                self.faults += error.faults
                self.unread.add(job_id)
                continue
            self.jobs[job_id] = source
            self.faults += source.objections()

    def _misnamed(self, name: str, stem: str) -> str:
        fit = slug(stem)
        right = f"rename it to {fit}.toml" if fit else "rename it, with a-z, 0-9 and - only"
        self.faults.append(Fault(name, None, "the file's name is the job's id, and this is no id", right))
        self.unread.add(fit)
        return stem

    def _job_files(self) -> list[Path]:
        folder = self.path / JOBS_FOLDER
        try:
            files = [f for f in folder.iterdir() if f.suffix == ".toml" and not f.name.startswith(".")]
        except FileNotFoundError:
            return []
        except OSError as error:
            wrong, right = "it is a file", "the jobs stand in a folder of this name"
            if not isinstance(error, NotADirectoryError):
                wrong, right = (
                    "you may not look into it",
                    f"give yourself the right: chmod u+rx {JOBS_FOLDER}",
                )
            self.faults.append(Fault(JOBS_FOLDER, None, wrong, right))
            return []
        return sorted(files, key=lambda file: file.name)


@dataclass
class _Orders:
    """Faults of order, but for those that may come from what could not be read."""

    jobs: dict[str, JobSource]
    unread: set[str]
    book: bool = True

    def faults(self, folder: ShopFolder) -> Iterator[Fault]:
        expansion = expand(folder)
        if not expansion.problems:
            return
        hazy = self.unread | {name for name, source in self.jobs.items() if _hazy(source)}
        for problem in expansion.problems:
            if problem.job in self.jobs and not self._follows(problem, expansion, hazy):
                yield order_fault(self.jobs[problem.job], problem)

    def _follows(self, problem: Problem, expansion: Expansion, hazy: set[str]) -> bool:
        if self.jobs[problem.job].mended.is_touched(problem.path):
            return True
        if problem.kind == "unknown":
            return problem.job in hazy or problem.target.split("/")[0] in hazy
        source = self.jobs.get(problem.found.split("/")[0])
        if problem.kind == "circle" or source is None:
            return False
        path = expansion.steps[problem.found].path
        return not self.book or source.mended.is_touched(path, "waits", "material")


def _too_much(jobs: dict[str, Job]) -> Iterator[Fault]:
    """A slip such as passes = 100 everywhere would keep the machine busy for hours."""
    passes = {key: sum(ref.step.passes for ref in refs(key, job)) for key, job in jobs.items()}
    total = sum(count for key, count in passes.items() if jobs[key].status == "live")
    if total > MOST_PASSES:
        largest = max(passes, key=passes.__getitem__)
        wrong = f"the live jobs have {total} passes of steps, this one most, and {MOST_PASSES} can be planned"
        yield Fault(f"{JOBS_FOLDER}/{largest}.toml", 1, wrong, 'lower `passes`, or write status = "shelved"')


def _hazy(source: JobSource) -> bool:
    """Is some step or part of the job unread or renamed?"""
    groups = ("parts", "steps")
    return any(
        path[-1] in ("id", *groups) or (len(path) > 1 and path[-2] in groups)
        for path in source.mended.touched
        if path
    )
