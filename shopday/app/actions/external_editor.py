"""Opens a file in the person's editor while the app is suspended."""

from __future__ import annotations

import os
import shlex
import subprocess
from pathlib import Path

from textual.app import App, SuspendNotSupported

from shopday.shop.faults import ShopdayError


def run_editor(app: App[None], path: Path) -> None:
    """Open the file and wait. Raises ShopdayError if there is no editor to open."""
    if app.is_web:
        raise ShopdayError("no editor can be opened from here", f"edit {path} yourself")
    command = os.environ.get("VISUAL") or os.environ.get("EDITOR")
    if not command:
        raise ShopdayError("no editor is named", "set EDITOR, for example EDITOR=nano")
    try:
        with app.suspend():
            subprocess.run([*shlex.split(command), str(path)], check=False)
    except (OSError, ValueError):
        raise ShopdayError(
            f"the editor {command} cannot be started", "set EDITOR to one that is there"
        ) from None
    except SuspendNotSupported:
        raise ShopdayError("no editor can be opened from here", f"edit {path} yourself") from None
    app.refresh()
