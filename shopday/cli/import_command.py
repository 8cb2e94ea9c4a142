"""`shopday import`: jobs from a table, days off from a calendar file."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from shopday.cli import shop_access
from shopday.cli.paper_target import STDOUT
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.planning.open_shop import OpenShop
from shopday.shop.faults import ShopdayError, ShopFaults
from shopday.shop.loading.toml_files import unreadable
from shopday.text.safe import clean


def import_command(args: Namespace) -> int:
    """Import a file; all of it is read before anything is written."""
    shop = shop_access.open_shop(args)
    data = sys.stdin.buffer.read() if args.FILE == STDOUT else _read(args.FILE)
    if data.lstrip(b"\xef\xbb\xbf \r\n").upper().startswith(b"BEGIN:VCALENDAR"):
        answer = _days(shop, data)
        said = f"{len(answer)} {'entry' if len(answer) == 1 else 'entries'} under [[closed]] in shop.toml: {', '.join(answer) or 'all were there already'}"
        told = {"jobs": [], "closed": answer}
    else:
        answer = _jobs(shop, data, args.FILE)
        said = f"{len(answer)} job file{'' if len(answer) == 1 else 's'}: {', '.join(answer)}"
        told = {"jobs": answer, "closed": []}
    if args.json:
        answers_json.moment_json({"shopday": answers_json.VERSION, **told})
    else:
        print(clean(f"Written: {said}."))
    return DONE


def _read(name: str) -> bytes:
    try:
        return Path(name).read_bytes()
    except (OSError, ValueError) as error:
        raise ShopFaults([unreadable(name, error)]) from None


def _jobs(shop: OpenShop, data: bytes, name: str) -> list[str]:
    from shopday.shop.editing.file_edits import write_job
    from shopday.shop.folder import JOBS_FOLDER
    from shopday.shop.job_table import jobs_of_table

    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")  # as old spreadsheets write it
    table = "the table" if name == STDOUT else name
    found = jobs_of_table(text, table, {*shop.folder.jobs, *shop.folder.faulty}, shop.now().date())
    if not found:
        raise ShopdayError("there is no row under the head line", "write a row for each step")
    for id, job in found.items():
        write_job(shop.path / JOBS_FOLDER / f"{id}.toml", job)
    return list(found)


def _days(shop: OpenShop, data: bytes) -> list[str]:
    from shopday.shop.closed_days import closed_days
    from shopday.shop.editing.file_edits import add_entry
    from shopday.shop.editing.toml_format import plain_value
    from shopday.shop.folder import SHOP_FILE

    found = closed_days(data, shop.now().date(), shop.folder.shop.closed)
    for day in found:
        add_entry(shop.path / SHOP_FILE, ("closed",), plain_value(day))
    return [str(day.first) if day.last is None else f"{day.first} to {day.last}" for day in found]
