"""The commands for the books: hours, costs, and everything logged."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Mapping, Sequence

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.export.csv_text import Cell, csv_text
from shopday.export.journal_csv import COLUMNS, entries


def hours_command(args: Namespace) -> int:
    from shopday.export.ledger_table import hours_table, hours_values
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
        shop_access.show_answer(hours_table(rows, args.by))
    return DONE


def costs_command(args: Namespace) -> int:
    from shopday.export.ledger_table import costs_table, costs_values
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
        shop_access.show_answer(costs_table(rows, args.by, currency))
    return DONE


def csv_command(args: Namespace) -> int:
    found = entries(shop_access.open_shop(args))
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, "rows": found})
    else:
        _write_csv(args, COLUMNS, found)
    return DONE


def _write_csv(args: Namespace, columns: Sequence[str], rows: Sequence[Mapping[str, Cell]]) -> None:
    sys.stdout.flush()
    sys.stdout.buffer.write(csv_text(columns, rows, args.separator, args.bom))
