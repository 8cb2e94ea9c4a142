"""A small invented shop whose day is worked out by hand in the tests that use it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from shopday.planning.open_shop import OpenShop

SHOP = """\
name = "Thistle Lane Joinery"
timezone = "America/Denver"

[hours]
monday    = ["08:00-12:00", "13:00-17:00"]
tuesday   = ["08:00-12:00", "13:00-17:00"]
wednesday = ["08:00-12:00", "13:00-17:00"]
thursday  = ["08:00-12:00", "13:00-17:00"]
friday    = ["08:00-12:00"]

[[stations]]
id = "bench"

[[gear]]
id = "long-clamps"
count = 8
"""

STOOL = """\
title    = "Milking stool"
customer = "Mrs Aldous"
promise  = 2026-12-03

[[parts]]
id = "seat"

  [[parts.steps]]
  id       = "glue"
  name     = "Glue up the seat"
  hands_on = "1h"
  stations = ["bench"]
  gear     = { long-clamps = 6 }
  waits    = [{ name = "in clamps", takes = "2h", keeps = "all" }]

  [[parts.steps]]
  id       = "shape"
  name     = "Shape the seat"
  hands_on = "3h"

  [[parts.steps]]
  id        = "oil"
  name      = "Oil the seat"
  hands_on  = "30m"
  within    = "20h"
  material  = "hardwax-oil"
  amount_ml = 40
  waits     = [
    { name = "dries", takes = "24h" },
    { name = "full cure", takes = "7d", informs = true },
  ]

[[steps]]
id       = "deliver"
hands_on = "1h"
"""

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
