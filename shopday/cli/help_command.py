"""`shopday help`: the help of the program or of one command, and the man page made from the same table."""

from __future__ import annotations

from argparse import Namespace

from shopday.cli.parser import overview, parse
from shopday.cli.run import DONE


def help_command(args: Namespace) -> int:
    from shopday.cli.man_page import man_page

    if args.man:
        print(man_page(), end="")
    elif args.COMMAND:
        parse([args.COMMAND, "--help"])
    else:
        print(overview())
    return DONE
