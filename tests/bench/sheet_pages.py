"""How many pages the sheets take when a browser prints them, on A4 and on Letter.

    python tests/bench/sheet_pages.py [FOLDER ...]

The demo at every hour of its day; and each FOLDER, which holds a shop and `now.txt`, at that time. Wants a Chromium
(`chromium`, or what CHROMIUM names) and `pdfinfo`.
"""

from __future__ import annotations

import datetime as dt
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from shopday.export.day_sheet import day_sheet
from shopday.export.sheet_html import as_html
from shopday.export.week_sheet import week_sheet
from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop

BROWSER = os.environ.get("CHROMIUM", "chromium")
PAPERS = {"A4": "A4 portrait", "Letter": "letter portrait"}
DEMO = dt.datetime(2026, 12, 2)


def shops(folders: list[str], scratch: Path) -> Iterator[tuple[str, OpenShop]]:
    if not folders:
        demo = copy_demo(scratch / "demo", DEMO.replace(hour=10, minute=5))
        for hour in range(24):
            yield f"demo {hour}:05", OpenShop(demo, DEMO.replace(hour=hour, minute=5))
    for folder in map(Path, folders):
        now = dt.datetime.fromisoformat((folder / "now.txt").read_text().strip())
        copy = scratch / folder.name
        subprocess.run(["cp", "-r", folder, copy], check=True)
        yield folder.name, OpenShop(copy, now)


def pages(html: str, paper: str, scratch: Path) -> int:
    """As the browser prints it on this paper."""
    page, pdf = scratch / "page.html", scratch / "page.pdf"
    page.write_text(html.replace("size: portrait", f"size: {paper}"))
    subprocess.run(
        [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={scratch / 'browser'}", f"--print-to-pdf={pdf}", page.as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    told = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", told)[1])


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name)
        for told, shop in shops(sys.argv[1:], scratch):
            plan = shop.plan(0)
            for kind, make in (("day", day_sheet), ("week", week_sheet)):
                html = as_html(make(shop, plan))
                size = html.partition("font: ")[2].partition("pt")[0]
                counts = {paper: pages(html, css, scratch) for paper, css in PAPERS.items()}
                print(
                    f"{told:12} {kind:4} {size:>4} pt",
                    counts,
                    "" if set(counts.values()) == {1} else "  <--",
                    flush=True,
                )


if __name__ == "__main__":
    main()
