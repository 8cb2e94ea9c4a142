"""Tins that go off. Shellac keeps half a year once dissolved (common practice)."""

from __future__ import annotations

import datetime as dt

import pytest

from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.materials.stock import goes_off
from shopday.shop.models import Stock

JUNE, AUTUMN, YEAR_END = dt.date(2026, 6, 1), dt.date(2026, 10, 1), dt.date(2026, 12, 31)


@pytest.mark.parametrize(
    ("tins", "last"),
    [
        ([], None),
        ([Stock(material="shellac", expires=AUTUMN)], AUTUMN),
        ([Stock(material="shellac", opened=JUNE)], dt.date(2026, 11, 28)),  # 180 days
        ([Stock(material="shellac", opened=JUNE, expires=AUTUMN)], AUTUMN),
        ([Stock(material="shellac", opened=JUNE, expires=YEAR_END)], dt.date(2026, 11, 28)),
        ([Stock(material="shellac", expires=AUTUMN), Stock(material="shellac", expires=YEAR_END)], YEAR_END),
        ([Stock(material="shellac", expires=AUTUMN), Stock(material="shellac")], None),  # one that keeps
        ([Stock(material="lacquer", expires=AUTUMN)], None),
    ],
)
def test_the_last_good_tin_decides(tins: list[Stock], last: dt.date | None) -> None:
    assert goes_off(builtin_materials()["shellac"], tins) == last
