"""The plan as Markdown and as a picture: whole, and with nothing in it but text."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from pathlib import Path

from out_shop import OTHER, STOOL, open_shop, write

from shopday.export.plan_markdown import plan_markdown
from shopday.export.plan_svg import DAY, LABEL, plan_svg
from shopday.export.svg_parts import WORK

EVIL = STOOL.replace("Milking stool", "<b>Stool</b> | *low*")


def test_markdown_has_jobs_and_days_with_typed_text_escaped(tmp_path: Path) -> None:
    shop = open_shop(write(tmp_path, stool=EVIL, other=OTHER), "2026-12-01T08:00")
    said = plan_markdown(shop.folder, shop.plan(0.1)).splitlines()
    # glued 8:00-9:00, the cabinet drawn while the clamps are on
    assert said[0] == "# Thistle Lane Joinery, Tue 1 Dec"
    assert any(row.startswith(r"| \<b\>Stool\</b\> \| \*low\* | Thu 3 Dec | Wed 2 Dec ") for row in said)
    assert "## Today, Tue 1 Dec" in said
    assert any(row.startswith("- 8:00–9:00 ■ Glue up the seat") for row in said)


def test_the_picture_has_a_bar_for_each_stretch_of_work(tmp_path: Path) -> None:
    shop = open_shop(write(tmp_path, stool=EVIL), "2026-12-01T08:00")
    plan = shop.plan(0.1)
    picture = ElementTree.fromstring(plan_svg(shop.folder, plan))
    svg = "{http://www.w3.org/2000/svg}"
    *bars, in_the_legend = (bar for bar in picture.iter(f"{svg}rect") if bar.get("fill") == WORK)
    assert len(bars) == sum(len(step.stretches) for step in plan.steps)
    assert in_the_legend.findtext(f"{svg}title") == "work"
    first = bars[0]
    assert float(first.get("x", "")) == round(LABEL + 8 / 24 * DAY, 1)  # 8:00 of the first day
    said = [text.text for text in picture.iter(f"{svg}text")]
    assert said[-5:] == ["<b>Stool</b> | *low*", "work", "waiting", "delivery", "end of the promised day"]
    promised = [path for path in picture.iter(f"{svg}path") if path.findtext(f"{svg}title") == "promised"]
    assert len(promised) == 2  # Thursday's, after the delivery of Wednesday, and the legend's
