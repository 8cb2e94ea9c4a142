"""A shop folder, read: everything the owner wrote."""

from __future__ import annotations

from dataclasses import dataclass
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
