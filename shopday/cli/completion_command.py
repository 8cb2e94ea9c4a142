"""`shopday completion`: a shell's script, and its answers at each key. Light to import, as a key waits for it."""

from __future__ import annotations

from argparse import Namespace

from shopday.cli.completion import SCRIPTS, completions
from shopday.cli.run import DONE
from shopday.text.safe import clean


def completion_command(args: Namespace) -> int:
    if args.SHELL in SCRIPTS:
        print(SCRIPTS[args.SHELL])
    else:
        for word, said in completions(args.WORDS):
            print(f"{clean(word)}\t{clean(said)}")
    return DONE
