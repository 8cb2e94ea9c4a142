"""Names of time zones: which there are, and which this computer is in."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import ZoneInfo


def is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def local_zone() -> str:
    """The zone that TZ names, else the one that /etc/localtime links to; "" if neither has a name."""
    linked = str(Path("/etc/localtime").resolve()).partition("/zoneinfo/")[2]
    return next((name for name in (os.environ.get("TZ", ""), linked) if name and is_zone(name)), "")
