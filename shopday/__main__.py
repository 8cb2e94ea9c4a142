"""The command `shopday`, also as `python -m shopday`."""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit status: 0 done, 2 a wrong call or file, 3 steps that cannot be placed."""
    from shopday.cli.run import run_command

    return run_command(sys.argv[1:] if argv is None else argv)


if __name__ == "__main__":
    sys.exit(main())
