"""A small shop in text, and how to put files in place and read their faults."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.folder import ShopFolder
from shopday.shop.loading.folder_reader import read_folder

SHOP = """\
name = "Larch Lane"
timezone = "Europe/Vienna"

[hours]
monday = ["08:00-12:00", "12:45-17:00"]
saturday = ["09:00-13:00"]

[[people]]
id = "maker"

[[people]]
id = "sam"
role = "helper"
hours = { saturday = ["09:00-12:00"] }

[[stations]]
id = "bench"
count = 2

[[stations]]
id = "table-saw"
noisy = true
dusty = true

[[gear]]
id = "long-clamps"
count = 8
"""

STOOL = """\
title = "Stool"

[[parts]]
id = "seat"

  [[parts.steps]]
  id = "mill"
  hands_on = "1h"
  stations = ["table-saw"]

  [[parts.steps]]
  id = "glue"
  hands_on = "30m"
  stations = ["bench"]
  gear = { long-clamps = 2 }
  waits = [
    { name = "in clamps", takes = "4h", keeps = "all" },
    { name = "rests", takes = "8h" },
  ]

  [[parts.steps]]
  id = "sand"
  hands_on = "40m"

[[parts]]
id = "legs"

  [[parts.steps]]
  id = "turn"
  hands_on = "2h"

[[steps]]
id = "assemble"
hands_on = "1h"

[[steps]]
id = "deliver"
hands_on = "1h"
"""


def lay(folder: Path, files: dict[str, str | bytes]) -> Path:
    """Puts files in place; a shop.toml is there unless another one is given."""
    for name, text in {"shop.toml": SHOP, **files}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def read(folder: Path, files: dict[str, str | bytes]) -> ShopFolder:
    return read_folder(lay(folder, files))


def faults(folder: Path, files: dict[str, str | bytes]) -> tuple[Fault, ...]:
    """Every fault of every file, the jobs' among them."""
    lay(folder, files)
    with pytest.raises(ShopFaults) as caught:
        read_folder(folder, strict=True)
    return caught.value.faults


def marked(text: str) -> tuple[str, int]:
    """A text with the line that is marked `<--` at its end, and the number of that line."""
    lines = text.split("\n")
    at = next(i for i, line in enumerate(lines) if line.endswith("<--"))
    lines[at] = lines[at].removesuffix("<--").rstrip()
    return "\n".join(lines), at + 1
