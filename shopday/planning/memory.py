"""The order of a shop's last plan, kept in the user's cache: a hint to start from, never a truth.

It is only where a quick search begins, so losing it costs a little quality and nothing else.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from platformdirs import user_cache_path

Order = tuple[tuple[str, int], ...]


def recall(folder: Path) -> Order:
    """The order last remembered for this folder; empty when there is none, or it cannot be read."""
    try:
        rows = json.loads(_place(folder).read_text("utf-8"))
        return tuple((str(address), int(pass_no)) for address, pass_no in rows)
    except (OSError, ValueError, TypeError):
        return ()


def remember(folder: Path, order: Sequence[tuple[str, int]]) -> None:
    """Keep an order for this folder; where the cache cannot be written, nothing is kept."""
    place = _place(folder)
    part = place.with_suffix(f".{os.getpid()}")
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(json.dumps(list(order)), "utf-8")
        part.replace(place)


def _place(folder: Path) -> Path:
    name = sha256(str(folder.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:24]
    return user_cache_path("shopday", appauthor=False) / f"{name}.json"
