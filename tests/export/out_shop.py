"""A small invented shop whose day is worked out by hand in the tests that use it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import small_shop
from small_shop import SHOP

from shopday.planning.open_shop import OpenShop

STOOL = small_shop.STOOL.replace(
    'id       = "oil"',
    'id       = "oil"\n  name = "Oil the seat"\n  material = "hardwax-oil"\n  amount_ml = 40',
)

OTHER = """\
title    = "Secret cabinet"
customer = "Mr Bellamy"

[[steps]]
id       = "draw"
name     = "Draw the cabinet"
hands_on = "1h"
"""


def write(folder: Path, **jobs: str) -> Path:
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(SHOP)
    for name, text in jobs.items():
        (folder / "jobs" / f"{name}.toml").write_text(text)
    return folder


def open_shop(folder: Path, now: str) -> OpenShop:
    return OpenShop(folder, dt.datetime.fromisoformat(now))
