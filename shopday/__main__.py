"""The command `shopday`, also as `python -m shopday`."""

from __future__ import annotations

import atexit
import gc
import sys
from collections.abc import Sequence

OBJECTS_BETWEEN_COLLECTIONS = 100_000
"""New objects between garbage collections: loading makes many objects, and none of them is garbage."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status: 0 done, 2 a wrong call or file, 3 steps that cannot be placed."""
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    atexit.register(gc.freeze)  # otherwise a collection at exit takes a sixth of a short command
    from shopday.cli.run import run_command

    return run_command(sys.argv[1:] if argv is None else argv)


if __name__ == "__main__":
    sys.exit(main())
