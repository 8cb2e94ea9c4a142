"""Cures against the outside: the doubling rule, Arrhenius, readings, and glue that is too cold to use."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.planning.encoding.shop_temperature import Reading, Warmth, cure_reason, rate, warmth
from shopday.scheduler import Calendar
from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.models import Material, Temperature

DAY = 1440
OPEN = Calendar.of((day * DAY + 480, day * DAY + 1020) for day in range(30))
SHOP = Temperature(day="20C", night="12C")


def material(**fields: object) -> Material:
    return Material.model_validate({"id": "test", **fields})


def test_the_rate_doubles_every_ten_degrees() -> None:
    """24 h rated at 20 C take 41.79 h at 12 C (recomputed by hand: 24 x 2^0.8)."""
    steady = Warmth((), (12.0,))
    end = steady.clock(material(rated_at="20C")).after(0, 24 * 60)
    assert end == pytest.approx(41.79 * 60, abs=1)


def test_an_activation_energy_replaces_the_doubling() -> None:
    """50 kJ/mol from 25 to 35 C: factor 1.924 (Arrhenius, textbook example)."""
    assert rate(35, material(rated_at="25C", activation_kj=50)) == pytest.approx(1.924, abs=0.0005)


@pytest.mark.parametrize(("celsius", "factor"), [(45, 4096), (60, 4096), (-3, 1 / 4096)])
def test_a_rate_stops_where_a_slip_of_the_pen_is_likelier(celsius: float, factor: float) -> None:
    """Twelve doublings, up or down."""
    assert rate(celsius, material(rated_at="21C", doubles_per=2)) == pytest.approx(factor)


@pytest.mark.parametrize(("took", "told"), [(241, False), (242, True), (238, True)])
def test_why_a_cure_differs_is_told_from_two_minutes_on(took: int, told: bool) -> None:
    assert (cure_reason(Warmth((), (18.0,)), None, 0, took, 240) is not None) is told


def test_a_cure_adds_up_over_day_and_night() -> None:
    shop = warmth(SHOP, OPEN)
    assert shop is not None
    fast, slow = 2 ** ((20 - 21) / 10), 2 ** ((12 - 21) / 10)
    left = 500 - 120 * fast  # from 15:00: two hours of day, then night
    assert shop.clock().after(900, 500) == 1020 + math.ceil(left / slow)


def test_a_reading_holds_until_the_next_change() -> None:
    shop = warmth(SHOP, OPEN, [Reading(500, 8.0)])
    assert shop is not None
    assert [shop.at(minute) for minute in (490, 500, 1019, 1020, DAY + 500)] == [20, 8, 8, 12, 20]


def test_a_later_reading_replaces_an_earlier_one() -> None:
    shop = warmth(SHOP, OPEN, [Reading(700, 15.0), Reading(500, 8.0)])
    assert shop is not None
    assert [shop.at(minute) for minute in (600, 700, 1019, 1020)] == [8, 15, 15, 12]


def test_a_reading_at_opening_and_after_the_last_day_holds() -> None:
    shop = warmth(SHOP, OPEN, [Reading(480, 9.0), Reading(40 * DAY, 3.0)])
    assert shop is not None
    assert [shop.at(minute) for minute in (479, 480, 1019, 40 * DAY - 1, 50 * DAY)] == [12, 9, 9, 12, 3]


def test_a_cold_reading_delays_a_running_cure_and_says_why() -> None:
    usual, cold = warmth(SHOP, OPEN), warmth(SHOP, OPEN, [Reading(540, 5.0)])
    assert usual is not None
    assert cold is not None
    before, after = (shop.clock().after(490, 240) for shop in (usual, cold))
    assert after > before
    reason = cure_reason(cold, None, 490, after, 240)
    assert reason is not None
    assert "slower" in reason
    assert "instead of 4h" in reason


def test_without_temperatures_the_label_holds() -> None:
    assert warmth(None, OPEN) is None
    read = warmth(None, OPEN, [Reading(500, 11.0)])
    assert read is not None
    assert read.at(100) is None
    assert read.clock().after(DAY + 500, 60) == DAY + 560
    assert read.clock().after(500, 60) == 500 + 120


def test_too_cold_to_glue_says_when_it_will_be_warm_enough() -> None:
    shop = warmth(SHOP, OPEN, [Reading(500, 8.0)])
    glue = builtin_materials()["white-pva"]
    assert shop is not None
    cold = shop.too_cold(glue, 600)
    assert cold is not None
    assert (cold.celsius, cold.lowest, cold.until) == (8.0, 13.0, DAY + 480)
    assert shop.too_cold(glue, DAY + 480) is None


def test_a_shop_never_warm_enough_is_reported() -> None:
    shop = warmth(Temperature(day="9C", night="2C"), OPEN)
    assert shop is not None
    cold = shop.too_cold(builtin_materials()["yellow-pva"], 600)
    assert cold is not None
    assert cold.until is None


@given(st.integers(0, 5000), st.integers(1, 3000), st.floats(-10, 40), st.floats(-10, 40))
def test_the_sum_is_reached_at_the_end_and_not_a_minute_before(
    start: int, takes: int, day: float, night: float
) -> None:
    """The sum of minutes, each weighted by 2^((T-21)/10), counted one minute at a time."""
    shop = warmth(Temperature(day=f"{day:.2f}C", night=f"{night:.2f}C"), OPEN)
    assert shop is not None
    end, total = shop.clock().after(start, takes), 0.0
    for minute in range(start, min(end, start + 3000)):
        assert total < takes
        total += 2 ** ((round(day, 2) - 21) / 10 if OPEN.span_at(minute) else (round(night, 2) - 21) / 10)
    if end <= start + 3000:
        assert total >= takes - 1e-6


def test_pot_life_and_cure_share_no_factor() -> None:
    """Pot life follows mass and heat, film cure follows the room: no field of one touches the other."""
    resin = builtin_materials()["casting-resin"]
    changed = resin.model_copy(update={"pot_life": 5})
    assert [rate(t, resin) for t in (8, 21, 30)] == [rate(t, changed) for t in (8, 21, 30)]
