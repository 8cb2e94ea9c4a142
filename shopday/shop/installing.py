"""How an extra of the package is installed."""

from __future__ import annotations


def install(extra: str) -> str:
    """What to type, by where the program came from."""
    return f"in a copy of the source `.venv/bin/pip install -e '.[{extra}]'` adds them, elsewhere `pip install 'shopday[{extra}]'`"
