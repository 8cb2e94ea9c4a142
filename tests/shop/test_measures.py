"""Amounts with the units people use, read and shown; conversions as NIST SP 811 defines them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.shop.measures import Units, amount_in, read_amount, worded


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1800", "mm", 1800), ("1800 mm", "mm", 1800), ("180cm", "mm", 1800), ("1.8 m", "mm", 1800), ("1,8 m", "mm", 1800),
        ("72in", "mm", 1828.8), ("72 in", "mm", 1828.8), ('72"', "mm", 1828.8), ("6ft", "mm", 1828.8), ("6' 2\"", "mm", 1879.6),
        ("6 ft 2 1/2 in", "mm", 1892.3), ('3/4"', "mm", 19.05), ('1 3/4"', "mm", 44.45), ('1-3/4"', "mm", 44.45),
        ("6′ 2″", "mm", 1879.6), ("17 ft2", "m2", 1.57935), ("17 sqft", "m2", 1.57935), ("160 dm2", "m2", 1.6), ("1.6 m²", "m2", 1.6),
        ("0.2 m2", "dm2", 20), ("66 lb", "kg", 29.9371), ("66 lbs", "kg", 29.9371), ("500 g", "kg", 0.5), ("2 lb 8 oz", "kg", 1.13398),
        ("8 fl oz", "ml", 236.588), ("1.5 l", "ml", 1500), ("250 ml", "l", 0.25), ("12.5", "%", 12.5), ("45 %", "%", 45), ("7 days", "days", 7),
        ("7", "", 7), ("1/2", "days", 0.5), ("-5", "mm", -5), ("-2", "%", -2), ("6' 2", "mm", 1879.6), ("0,125 m2", "m2", 0.125), ("12,5", "%", 12.5),
    ],
)  # fmt: skip
def test_amounts_are_read_with_any_unit(text: str, unit: str, value: float) -> None:
    assert read_amount(text, unit, "metric") == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("72", "mm", 1828.8), ("70 7/8", "mm", 1800.225), ("17", "m2", 1.57935), ("50", "kg", 22.6796), ("1800 mm", "mm", 1800), ("7", "days", 7)],
)  # fmt: skip
def test_a_bare_number_is_in_the_shops_units(text: str, unit: str, value: float) -> None:
    assert read_amount(text, unit, "imperial") == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("5 kg", "mm", "no length"), ("long", "mm", "no length"), ("", "mm", "no length"), ("3/0 in", "mm", "divides by nothing"),
        ("6 mm 2 lb", "mm", "no length"), ("5 5", "mm", "no length"), ("5 kg 5", "kg", "no weight"), ("--5", "mm", "no length"),
        ("1,000", "mm", "write 1000, or 1.000"), ("1,000", "", "write 1000, or 1.000"), ("1_0", "", "not a number"), ("1e3", "%", "not a number"), ("١", "mm", "no length"), ("٣", "", "not a number"),
        ("2 m", "m2", "no area"), ("heavy", "kg", "no weight"),
        ("x", "%", "not a number"), ("nan", "", "not a number"), ("1e999", "", "not a number"), ("[/b]", "mm", "no length"),
    ],
)  # fmt: skip
def test_a_wrong_amount_is_refused_with_what_would_be_right(text: str, unit: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_amount(text, unit, "metric")


@pytest.mark.parametrize(
    ("value", "unit", "metric", "imperial"),
    [
        (1800, "mm", "1800", "70 7/8"), (19.05, "mm", "19.05", "3/4"), (25.4, "mm", "25.4", "1"), (0, "mm", "0", "0"),
        (-10.7, "mm", "-10.7", "-7/16"), (1.6, "m2", "1.6", "17.2"), (20, "dm2", "20", "2.15"), (30, "kg", "30", "66.1"),
        (7, "days", "7", "7"),
    ],
)  # fmt: skip
def test_amounts_are_shown_in_the_shops_units(value: float, unit: str, metric: str, imperial: str) -> None:
    assert amount_in(value, unit, "metric") == metric
    assert amount_in(value, unit, "imperial") == imperial


@given(st.floats(1, 5000), st.sampled_from(["mm", "m2", "kg"]), st.sampled_from(["metric", "imperial"]))
def test_what_is_shown_is_read_as_the_same(value: float, unit: str, units: Units) -> None:
    near = {"mm": 1, "m2": 0.01, "kg": 0.01}[unit]  # a sixteenth of an inch is 1.6 mm, so half of one
    assert read_amount(amount_in(value, unit, units), unit, units) == pytest.approx(
        value, abs=near, rel=0.006
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("It weighs about 75.6 kg and is 3000 mm long", "It weighs about 167 lb and is 118 1/8 in long"),
        ("not below 13 C", "not below 55 F"),
        ("3 to 6 C below the room", "5 to 11 F below the room"),
        ("moves about -10.7 mm", "moves about -7/16 in"),
        ("R2C 5 ml of it", "R2C 0.17 fl oz of it"),
        ("18-24 C", "64-75 F"),
        ("8 clamps", "8 clamps"),
    ],
)
def test_figures_in_sentences_are_converted(text: str, told: str) -> None:
    assert worded(text, "imperial") == told
    assert worded(text, "metric") == text
