"""`shopday init`: asks the questions of the first start in the terminal, one by one."""

from __future__ import annotations

import datetime as dt
import sys
from argparse import Namespace

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import SHOP_FILE
from shopday.shop.new_shop import Question, questions, write_shop
from shopday.text.safe import clean


def init_command(args: Namespace) -> int:
    """Ask, and write the shop after the last answer."""
    folder = shop_access.folder(args)
    if (folder / SHOP_FILE).exists():
        raise ShopdayError(f"{folder / SHOP_FILE} is there already", "`shopday check` reads it")
    asked = questions(folder)
    write_shop(
        folder,
        {q.name: q.read(q.usual) if q.usual else None for q in asked} if args.defaults else _ask(asked),
        (args.now or dt.datetime.now()).date(),
    )
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, "written": str(folder / SHOP_FILE)})
    else:
        print(clean(f"Written: {folder / SHOP_FILE}. Next: `shopday` opens the app, where 4 makes a job."))
    return DONE


def _ask(asked: list[Question]) -> dict[str, object]:
    """The answers by name. Questions go to stderr; Enter takes the value in brackets, a hyphen leaves it empty."""
    print("Enter takes what is in brackets, - leaves it empty.", file=sys.stderr)
    return {question.name: _answer(question) for question in asked}


def _answer(question: Question) -> object:
    beside = f" ({question.hint})" if question.hint else ""
    usual = f" [{question.usual}]" if question.usual else ""
    while True:
        print(clean(f"{question.label}{beside}{usual}: "), end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line:
            raise ShopdayError(
                "the answers ended before the questions", "nothing was written, --defaults asks none"
            )
        said = line.strip() or question.usual
        if said in ("", "-"):
            return None
        try:
            return question.read(said)
        except ValueError as error:
            print(clean(str(error)), file=sys.stderr)
