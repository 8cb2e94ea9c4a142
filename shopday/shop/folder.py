"""A shop folder, read: everything the owner wrote."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from shopday.shop.models import Job, Material, Shop

SHOP_FILE = "shop.toml"
MATERIALS_FILE = "materials.toml"
JOBS_FOLDER = "jobs"


@dataclass(frozen=True)
class ShopFolder:
    """Jobs by id in file-name order, every status; materials by id, the built-in ones and the shop's own."""

    path: Path
    shop: Shop
    jobs: dict[str, Job]
    materials: dict[str, Material]

    def with_job(self, id: str, job: Job) -> ShopFolder:
        """The folder as it is read once this job has a file."""
        jobs = {**self.jobs, id: job}
        return replace(self, jobs={id: jobs[id] for id in sorted(jobs, key=lambda id: f"{id}.toml")})
