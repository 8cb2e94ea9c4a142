"""The command that restores the journal."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.journal.journal_restore import Restored
from shopday.journal.journal_restore import restore as put_right
from shopday.text.safe import clean


def restore_command(args: Namespace) -> int:
    """Restore the journal; the present one is kept aside, never deleted."""
    found = put_right(
        shop_access.folder(args) / "journal.db", Path(args.FILE).resolve() if args.FILE else None
    )
    if args.json:
        answers_json.moment_json({"shopday": 1, **_answer(found)})
    else:
        print(clean(" ".join(_sentences(found))))
    return DONE


def _answer(found: Restored) -> answers_json.JsonAnswer:
    last = found.facts[-1]
    return {
        "restored": str(found.source) if found.source else None,
        "aside": str(found.aside) if found.aside else None,
        "facts": len(found.facts),
        "last": {"kind": last.kind, "address": last.address},
        "saved": found.saved,
        "left": found.left,
        "gone": list(found.gone),
        "put_away": list(map(str, found.put_away)),
    }


def _sentences(found: Restored) -> Iterator[str]:
    begins = f", beginning with {found.source.name}" if found.source else ""
    yield f"journal.db has {_facts(len(found.facts))} now{begins}; the last is {found.facts[-1].about}."
    if found.saved:
        yield f"{_facts(found.saved)} no backup has could be read out of the file that was there."
    if found.aside:
        yield f"What was there is kept as {found.aside.name}."
    if found.left:
        yield f"{_facts(found.left)} in it are not in journal.db any more."
    if found.gone:
        numbers = ", ".join(map(str, found.gone))
        yield f"Nobody can read its facts number {numbers}: log again what happened then."
    for copy in found.put_away:
        yield f"A backup that knows more is kept as {copy.parent.name}/{copy.name}."


def _facts(number: int) -> str:
    return f"{number} fact{'' if number == 1 else 's'}"
