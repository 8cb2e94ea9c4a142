"""The files of the built-in book, as they are written."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

BOOK = Path(__file__).parent / "book"


def book_table(name: str) -> dict[str, Any]:
    """The entries of one file, for example "materials"."""
    return tomllib.loads((BOOK / f"{name}.toml").read_text(encoding="utf-8"))
