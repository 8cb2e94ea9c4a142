"""How printed answers reach the terminal: nothing in them is markup, and a pipe gets plain text."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import IO, TextIO

from rich.console import Console, RenderableType

from shopday.text.terminal import USUAL, columns


def console(file: TextIO | None = None) -> Console:
    """A console as wide as the terminal, or as COLUMNS says."""
    file = file or sys.stdout
    return Console(
        file=file,
        width=columns(file),
        markup=False,
        emoji=False,
        highlight=False,
        soft_wrap=False,
    )


def show_renderable(answer: RenderableType, file: TextIO | None = None) -> None:
    """Print the answer; in a pipe, lines have no trailing blanks."""
    out = console(file)
    if not out.is_terminal:
        print(plain_text(answer, out.width), file=out.file)
        return
    with out.capture() as captured:
        out.print(answer)
    said = captured.get()
    if said.count("\n") < out.height or not _paged(said, out.file):
        out.file.write(said)
        out.file.flush()


def _paged(said: str, file: IO[str]) -> bool:
    """Show the text in the person's pager (`less` by default); False if there is none."""
    import shlex
    import subprocess
    from shutil import which

    pager = shlex.split(os.environ.get("PAGER", "less"))
    if not pager or not file.isatty() or not sys.stdin.isatty() or not which(pager[0]):
        return False
    env = {"LESS": "FRX", **os.environ}  # keep colours, and leave the answer on the screen
    with suppress(KeyboardInterrupt):
        subprocess.run(pager, input=said.encode("utf-8", "replace"), env=env, check=False)
    return True


def plain_text(answer: RenderableType, width: int = USUAL) -> str:
    """The answer as text without colours, for files and pipes."""
    paper = Console(width=width, color_system=None, markup=False, emoji=False, highlight=False)
    with paper.capture() as capture:
        paper.print(answer)
    return "\n".join(line.rstrip() for line in capture.get().splitlines())
