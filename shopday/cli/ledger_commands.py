"""The commands for the books: hours, costs, and everything logged."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.export import answers_json
from shopday.export.csv_text import Cell, csv_text
from shopday.export.journal_csv import COLUMNS, entries

if TYPE_CHECKING:
    from rich.table import Table

    from shopday.planning.questions.ledger import LedgerRow


def hours_command(args: Namespace) -> int:
    from shopday.export.ledger_table import gaps_text, hours_table, hours_values
    from shopday.planning.questions.ledger import ledger

    shop = shop_access.open_shop(args)
    shop_access.require_job(shop, args.JOB)
    rows = ledger(shop, args.by, args.JOB)
    values = hours_values(rows, args.by)
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, "by": args.by, "rows": values})
    elif args.csv:
        _write_csv(args, list(values[0]) if values else ["job"], values)
    else:
        _show_table(rows, hours_table(rows, args.by), gaps_text(rows, priced=False))
    return shop_access.status_of_files(shop)


def costs_command(args: Namespace) -> int:
    from shopday.export.ledger_table import costs_table, costs_values, gaps_text
    from shopday.planning.questions.ledger import ledger

    shop = shop_access.open_shop(args)
    shop_access.require_job(shop, args.JOB)
    currency = shop.folder.shop.prices.currency
    rows = ledger(shop, args.by, args.JOB)
    values = [{**row, "currency": currency} for row in costs_values(rows, args.by)]
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, "by": args.by, "rows": values})
    elif args.csv:
        _write_csv(args, list(values[0]) if values else ["job"], values)
    else:
        _show_table(rows, costs_table(rows, args.by, currency), gaps_text(rows, priced=True))
    return shop_access.status_of_files(shop)


def _show_table(rows: Sequence[LedgerRow], table: Table, gaps: str) -> None:
    from rich.console import Group

    if not rows:
        shop_access.show_answer("There is nothing to count yet.")
    else:
        shop_access.show_answer(Group(table, "", gaps) if gaps else table)


def csv_command(args: Namespace) -> int:
    shop = shop_access.open_shop(args)
    found = entries(shop)
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, "rows": found})
    else:
        _write_csv(args, COLUMNS, found)
    return shop_access.status_of_files(shop)


def _write_csv(args: Namespace, columns: Sequence[str], rows: Sequence[Mapping[str, Cell]]) -> None:
    sys.stdout.flush()
    sys.stdout.buffer.write(csv_text(columns, rows, args.separator, args.bom))
