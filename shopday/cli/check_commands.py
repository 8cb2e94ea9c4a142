"""The command that checks the files."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import Any

from shopday.cli import shop_access
from shopday.cli.run import DONE, UNPLACED, WRONG
from shopday.export import answers_json
from shopday.journal import health
from shopday.journal.journal import Journal
from shopday.shop.faults import Fault, ShopFaults
from shopday.text.safe import clean


def check_command(args: Namespace) -> int:
    """Print faults to stderr, one line each, and remarks to stdout."""
    if args.fix:
        from shopday.cli.remedy_questions import offer_remedies

        offer_remedies(shop_access.folder(args))
    faults = _faults(args) + _journal_faults(shop_access.folder(args))
    remarks, unplaced = ([], []) if faults else _planned(args)
    if args.json:
        answers_json.moment_json(
            {
                "shopday": 1,
                "faults": list(map(answers_json.fault, faults)),
                "remarks": remarks,
                "unplaced": unplaced,
            }
        )
    else:
        _print(remarks, faults)
    for fault in faults:
        print(fault, file=sys.stderr)
    return WRONG if faults else UNPLACED if unplaced else DONE


def _faults(args: Namespace) -> list[Fault]:
    from shopday.shop.loading.folder_reader import read_folder
    from shopday.shop.recipes.recipe_library import recipe_faults

    try:
        folder = read_folder(shop_access.folder(args), strict=True)
    except ShopFaults as error:
        return list(error.faults)
    return list(recipe_faults(folder.path, folder.shop, folder.materials))


def _journal_faults(folder: Path) -> list[Fault]:
    return [
        Fault(file, None, wrong, right)
        for file, wrong, right in health.complaints(Journal(folder / "journal.db"))
    ]


def _planned(args: Namespace) -> tuple[list[str], list[dict[str, Any]]]:
    from shopday.planning.questions.folder_warnings import folder_warnings

    shop = shop_access.open_shop(args)
    plan = next(filter(None, shop.fresh(0)))
    unsaved = filter(None, [health.remark(shop.journal)])
    return [*folder_warnings(shop, plan), *unsaved], answers_json.unplaced_json(plan)


def _print(remarks: list[str], faults: list[Fault]) -> None:
    for remark in remarks:
        print(clean(remark))
    if not faults:
        print("Every file is right." if remarks else "Every file is right, and every step has a place.")
