"""A shop folder, read: everything that the owner wrote."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from shopday.shop.faults import Fault, ShopdayError
from shopday.shop.models import Job, Material, Shop

SHOP_FILE = "shop.toml"
MATERIALS_FILE = "materials.toml"
JOBS_FOLDER = "jobs"
RECIPES_FOLDER = "recipes"


@dataclass(frozen=True)
class ShopFolder:
    """A shop folder.

    jobs:      by id in file-name order, with every status.
    materials: by id, the built-in ones and the shop's own.
    faulty:    the faults of job files, by job id. Such a job is left out, or is in `jobs` as it was last read
               without faults.
    """

    path: Path
    shop: Shop
    jobs: dict[str, Job]
    materials: dict[str, Material]
    faulty: Mapping[str, tuple[Fault, ...]] = field(default_factory=dict)

    @property
    def left_out(self) -> dict[str, tuple[Fault, ...]]:
        """The jobs that could not be read, with the faults of their files."""
        return {id: faults for id, faults in self.faulty.items() if id not in self.jobs}

    def require_read(self, job: str) -> None:
        """Raise ShopdayError with the fault of its file if a job is left out."""
        for fault in self.left_out.get(job, ()):
            raise ShopdayError(
                f"{job} is left out until its file is right: {fault.place}: {fault.wrong}", fault.right
            )

    def differs_in_faults_alone(self, other: ShopFolder) -> bool:
        """True if only the faults of job files differ, and everything that can be planned is the same."""
        mine, others = (replace(folder, faulty=folder.left_out) for folder in (self, other))
        return self.faulty != other.faulty and mine == others

    def all_live(self) -> ShopFolder:
        """The folder as if every job were live, for questions about all jobs whatever their status."""
        live = {id: job.model_copy(update={"status": "live"}) for id, job in self.jobs.items()}
        return replace(self, jobs=live)

    def with_job(self, id: str, job: Job) -> ShopFolder:
        """The folder as it would be read if this job had a file."""
        jobs = {**self.jobs, id: job}
        return replace(self, jobs={id: jobs[id] for id in sorted(jobs, key=lambda id: f"{id}.toml")})
