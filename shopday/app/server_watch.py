"""In a browser the keys come from a server through a pipe: when the server is gone, nobody is looking any more."""

from __future__ import annotations

import os
import select
from threading import Thread


def end_with_server() -> None:
    """From now on this process ends when the process at the other end of its standard input ends, even if it is killed.

    Every fact was written the moment it was logged; the planner's process ends with this one.
    """
    Thread(target=_wait_for_end, daemon=True).start()


def _wait_for_end() -> None:
    watch = select.poll()
    watch.register(0, 0)  # the keys are for somebody else: only the end is looked for
    watch.poll()
    os._exit(0)
