"""Reads a shop folder and collects every fault in it.

One reading shows all faults of all files, each with its file and line; a fault that may only follow from another one
is held back until that is corrected. A job whose file has faults affects only that job.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePath

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, SHOP_FILE, ShopFolder
from shopday.shop.loading.job_checks import JobSource, Known, job_faults, known_names, order_fault
from shopday.shop.loading.job_file_names import SUFFIX, is_well_named, job_files, name_fault
from shopday.shop.loading.shop_checks import ShopSource, shop_faults, supply_faults
from shopday.shop.loading.tolerant_validation import read_source
from shopday.shop.loading.toml_files import read_toml, toml_of
from shopday.shop.materials.own_materials import read_materials
from shopday.shop.models import Job, Material, Shop
from shopday.shop.step_graph import StepGraph, StepProblem, expand, refs
from shopday.text.names import slug

MOST_PASSES = 20_000
"""A hundred years of work for one maker."""


def read_folder(path: Path, strict: bool = False) -> ShopFolder:
    """The whole shop without the jobs whose files have faults.

    Raises ShopFaults with all faults of all files if one of them is not in a job's file; with `strict`, if there is
    any.
    """
    return Reader(path).read(strict)


class Reader:
    """Reads one folder repeatedly. A job whose file becomes faulty stays as it was last read without faults, as long
    as that fits the rest."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._good: dict[str, JobSource] = {}

    def read(self, strict: bool = False) -> ShopFolder:
        """As `read_folder`."""
        _require_shop(self.path)
        reading = _Reading(self.path, dict(self._good))
        folder = reading.folder(strict)
        self._good = reading.jobs
        return folder


def read_job(path: Path, folder: ShopFolder, data: bytes | None = None) -> tuple[str, Job]:
    """A job file outside the shop, checked against it; its id comes from the file's name. data: what it holds, if
    there is no such file."""
    name = str(path)
    source = read_source(Job, read_toml(path, name) if data is None else toml_of(data, name))
    job_id = _free_id(path, folder)
    faults = list(source.objections())
    if job := source.mended.value:
        stations = tuple(station.id for station in folder.shop.stations)
        gear = tuple(thing.id for thing in folder.shop.gear)
        faults += job_faults(source, job_id, job, Known(stations, gear, folder.materials))
        joint = ShopFolder(folder.path, folder.shop, {**folder.jobs, job_id: job}, folder.materials)
        faults += _Orders({job_id: source}, set(folder.faulty)).faults(joint)
    if faults or job is None:
        raise ShopFaults(faults)
    return job_id, job


def _free_id(path: Path, folder: ShopFolder) -> str:
    stem = slug(path.stem) or "job"
    if path.resolve() == (folder.path / JOBS_FOLDER / f"{stem}.toml").resolve():
        return stem
    number, found = 2, stem
    while found in folder.jobs or found in folder.faulty:
        found, number = f"{stem[:56]}-{number}", number + 1
    return found


def _require_shop(path: Path) -> None:
    right = "`shopday init` makes one, `shopday demo` shows a whole one, `--shop DIR` names yours"
    try:
        if (path / SHOP_FILE).exists() or (path / SHOP_FILE).is_symlink():
            return
        wrong = f"no {SHOP_FILE} here" if path.is_dir() else "there is no such folder"
    except (OSError, ValueError):
        wrong, right = "you may not look into it", "give yourself the right, or name another folder"
    raise ShopFaults([Fault(str(path), None, wrong, right)])


@dataclass
class _Reading:
    """One reading. good: the jobs as they were last read without faults."""

    path: Path
    good: dict[str, JobSource]
    faults: list[Fault] = field(default_factory=list)
    jobs: dict[str, JobSource] = field(default_factory=dict)
    unread: set[str] = field(default_factory=set)

    def folder(self, strict: bool) -> ShopFolder:
        source, materials = self._shop(), self._materials()
        self._read_jobs()
        shop = source.mended.value if source else None
        if source and shop:
            self.faults += shop_faults(source, shop)
            if materials is not None:
                self.faults += supply_faults(source, shop, materials)
        known = known_names(source, materials)
        bare = ShopFolder(self.path, shop or Shop(name="", timezone="UTC"), {}, materials or {})
        self.faults += self._faults_of_jobs(bare, known)
        by_job = _by_job(self.faults)
        if self.faults and (strict or None in by_job):
            raise ShopFaults(self.faults)
        faulty = {id: ShopFaults(faults).faults for id, faults in by_job.items() if id is not None}
        return self._without(faulty, bare, known)

    def _faults_of_jobs(self, bare: ShopFolder, known: Known) -> Iterator[Fault]:
        """Faults in how the jobs that could be read fit the shop and one another."""
        folder = self._with_jobs(bare)
        for key, job in folder.jobs.items():
            yield from job_faults(self.jobs[key], key, job, known)
        yield from _too_much(folder.jobs)
        yield from _Orders(self.jobs, self.unread, known.materials is not None).faults(folder)

    def _with_jobs(self, bare: ShopFolder) -> ShopFolder:
        """The folder with the jobs that could be read, by the names of their files."""
        read = sorted(self.jobs.items(), key=lambda item: f"{item[0]}.toml")
        return replace(bare, jobs={key: job.mended.value for key, job in read if job.mended.value})

    def _without(self, faulty: dict[str, tuple[Fault, ...]], bare: ShopFolder, known: Known) -> ShopFolder:
        """The folder in which faulty jobs are as they were last read without faults, if they fit, or else left out."""
        broken = set(faulty)
        while broken:
            self.unread |= broken
            for id in broken:
                self.jobs.pop(id, None)
                if id in self.good:
                    self.jobs[id] = self.good.pop(id)
            found = _by_job(self._faults_of_jobs(bare, known))
            broken = {id for id in found if id is not None}
            faulty = {**{id: tuple(found[id]) for id in broken}, **faulty}
        return replace(self._with_jobs(bare), faulty=dict(sorted(faulty.items())))

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
            name, job_id = f"{JOBS_FOLDER}/{file.name}", _job_id(file)
            if not is_well_named(file):
                self.faults.append(name_fault(file))
                self.unread.add(slug(file.stem))
            try:
                source: JobSource = read_source(Job, read_toml(file, name, self.path))
            except ShopFaults as error:
                self.faults += error.faults
                self.unread.add(job_id)
                continue
            self.jobs[job_id] = source
            self.faults += source.objections()

    def _job_files(self) -> list[Path]:
        try:
            return job_files(self.path / JOBS_FOLDER)
        except FileNotFoundError:
            return []
        except NotADirectoryError:
            wrong, right = "it is a file", "the jobs stand in a folder of this name"
        except PermissionError:
            wrong, right = "you may not look into it", f"give yourself the right: chmod u+rx {JOBS_FOLDER}"
        except OSError as error:
            wrong, right = f"it cannot be read ({error.strerror})", "the jobs stand in a folder of this name"
        self.faults.append(Fault(JOBS_FOLDER, None, wrong, right))
        return []


@dataclass
class _Orders:
    """Faults of order, except those that may come from what could not be read. unread: jobs that could not be."""

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

    def _follows(self, problem: StepProblem, expansion: StepGraph, hazy: set[str]) -> bool:
        if self.jobs[problem.job].mended.is_touched(problem.path):
            return True
        if problem.kind == "unknown":
            return problem.job in hazy or problem.target.split("/")[0] in hazy
        source = self.jobs.get(problem.found.split("/")[0])
        if problem.kind == "circle" or source is None:
            return False
        if problem.found.split("/")[0] in self.unread:
            return True
        path = expansion.steps[problem.found].path
        return not self.book or source.mended.is_touched(path, "waits", "material")


def _by_job(faults: Iterable[Fault]) -> dict[str | None, list[Fault]]:
    """The faults of each job's file; all others under None."""
    found: dict[str | None, list[Fault]] = {}
    for fault in faults:
        file = PurePath(fault.file)
        found.setdefault(_job_id(file) if file.parent.name == JOBS_FOLDER else None, []).append(fault)
    return found


def _job_id(file: PurePath) -> str:
    """The id of a job's file: its name without the suffix, if that is right."""
    return file.stem if file.suffix == SUFFIX else file.name


def _too_much(jobs: dict[str, Job]) -> Iterator[Fault]:
    """A slip such as passes = 100 everywhere would keep the machine busy for hours."""
    live = {key: job for key, job in jobs.items() if job.status == "live"}
    passes = {key: sum(ref.step.passes for ref in refs(key, job)) for key, job in live.items()}
    total = sum(passes.values())
    if total > MOST_PASSES:
        largest = max(passes, key=passes.__getitem__)
        wrong = f"the live jobs have {total} passes of steps, this one most, and {MOST_PASSES} can be planned"
        yield Fault(f"{JOBS_FOLDER}/{largest}.toml", 1, wrong, 'lower `passes`, or write status = "shelved"')


def _hazy(source: JobSource) -> bool:
    """True if some step or part of the job is unread or renamed."""
    groups = ("parts", "steps")
    return any(
        path[-1] in ("id", *groups) or (len(path) > 1 and path[-2] in groups)
        for path in source.mended.touched
        if path
    )
