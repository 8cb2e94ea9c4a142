"""Sums of the trade against answers from outside; the source stands beside each."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.shop.materials import formulas


@pytest.mark.parametrize(("humidity", "percent"), [(0.30, 6.2), (0.50, 9.2), (0.65, 12.0), (0.80, 16.0)])
def test_equilibrium_moisture_is_that_of_the_wood_handbook(humidity: float, percent: float) -> None:
    """Wood Handbook table 4-2 at 70 F (from memory; its equation comes within 0.05)."""
    assert formulas.equilibrium_moisture((70 - 32) / 1.8, humidity) == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize(
    ("fahrenheit", "percents"), [(30, (6.3, 9.5, 12.4, 16.5)), (50, (6.3, 9.5, 12.3, 16.4))]
)
def test_equilibrium_moisture_in_the_cold(fahrenheit: float, percents: tuple[float, ...]) -> None:
    """Wood Handbook table 4-2 at 30, 50, 65 and 80 % (from memory)."""
    found = [
        formulas.equilibrium_moisture((fahrenheit - 32) / 1.8, humidity) for humidity in (0.3, 0.5, 0.65, 0.8)
    ]
    assert found == pytest.approx(percents, abs=0.06)


def test_equilibrium_moisture_in_a_kiln() -> None:
    """The equation by hand at 60 C and 80 %: W 475, K 0.83933, K1 4.6164, K2 3.2972; 3.7895 x (2.0438 + 1.5348)."""
    assert formulas.equilibrium_moisture(60, 0.8) == pytest.approx(13.561, abs=0.005)


@pytest.mark.parametrize(
    ("celsius", "humidity", "dew", "near"),
    [(25, 0.6, 16.70, 0.01), (20, 0.6, 12.0, 0.05), (20, 0.8, 16.4, 0.05)],
)
def test_the_dew_point_is_that_of_the_magnus_formula(
    celsius: float, humidity: float, dew: float, near: float
) -> None:
    """Published examples of the Magnus formula with 17.625 and 243.04."""
    assert formulas.dew_point(celsius, humidity) == pytest.approx(dew, abs=near)


def test_movement_is_that_of_the_wood_handbook() -> None:
    """Wood Handbook ch. 13: red alder 8 in wide, C_T 0.0026, moisture changes by 6 %: 0.1248 in."""
    assert formulas.movement(formulas.species()["red-alder"], 8, 6) == pytest.approx(0.1248)


@pytest.mark.parametrize(("decibels", "hours"), [(85, 8), (88, 4), (91, 2), (100, 0.25)])
def test_noise_limits_for_health_are_those_of_niosh(decibels: float, hours: float) -> None:
    """NIOSH 98-126, table 1-1: 85 dBA for 8 h, half for every 3 dB."""
    assert formulas.noise_limit(decibels) == pytest.approx(hours)


def test_noise_of_a_planer() -> None:
    """NIOSH 98-126, table 1-1: 47 min 37 s at 95 dBA."""
    assert formulas.noise_limit(95) * 3600 == pytest.approx(47 * 60 + 37, abs=1)


@pytest.mark.parametrize(("decibels", "hours"), [(90, 8), (95, 4), (100, 2)])
def test_noise_limits_by_law_are_those_of_osha(decibels: float, hours: float) -> None:
    """OSHA 29 CFR 1910.95, table G-16."""
    assert formulas.noise_law(decibels) == pytest.approx(hours)


@pytest.mark.parametrize(("kilograms", "people"), [(0, 1), (23, 1), (23.1, 2), (46, 2), (46.1, 3), (136, 6)])
def test_a_load_needs_its_people(kilograms: float, people: int) -> None:
    """NIOSH 1991: load constant 23 kg (51 lb) each in a level lift."""
    assert formulas.lifters(kilograms) == people


@pytest.mark.parametrize(("kilograms", "longest", "hands"), [(23, 2400, 1), (23.1, 0, 2), (5, 2401, 2)])
def test_heavy_or_long_pieces_need_two(kilograms: float, longest: float, hands: int) -> None:
    """NIOSH 1991: load constant 23 kg (51 lb). The length is common practice."""
    assert formulas.hands(kilograms, longest) == hands


def test_boards_weigh_by_their_wood() -> None:
    """White oak, specific gravity 0.68 at 12 % (Wood Handbook table 5-3, from memory): 0.68 x 1.12 g/cm3."""
    assert formulas.weight_kg(formulas.species()["white-oak"], 1000, 1000, 1000) == pytest.approx(
        0.68 * 1120, abs=1
    )


@pytest.mark.parametrize(
    ("depth", "layer", "count"), [(6, 6, 1), (6.1, 6, 2), (18, 6, 3), (40, 25, 2), (0, 6, 1)]
)
def test_pours_are_no_deeper_than_allowed(depth: float, layer: float, count: int) -> None:
    """Common practice: as many pours as depth / deepest layer, rounded up."""
    assert formulas.pour_count(depth, layer) == count


@given(st.floats(0.1, 500), st.floats(1, 100))
def test_pours_are_as_few_as_can_be_and_none_is_too_deep(depth: float, layer: float) -> None:
    count = formulas.pour_count(depth, layer)
    assert depth / count <= layer * 1.001
    assert count == 1 or depth / (count - 1) > layer * 0.999


def test_the_spread_of_pressure_gives_the_clamps() -> None:
    """Common practice: at 45 degrees, spacing is twice the width to the glue line; published: 6 to 12 in."""
    assert formulas.clamp_spacing(100) == 200
    assert formulas.clamps(1800, 100) == 9
    assert (formulas.clamp_spacing(20), formulas.clamp_spacing(400)) == (150, 300)
    assert formulas.clamps(120, 100) == 2  # one at each end


@pytest.mark.parametrize(
    ("joints", "each", "open_time", "stages"),
    [(6, 2, 5, 3), (2, 2, 5, 1), (3, 9, 5, 3), (0, 2, 5, 1), (30, 0.5, 5, 3), (30, 0, 5, 1)],
)
def test_the_open_time_gives_the_glue_stages(joints: int, each: float, open_time: float, stages: int) -> None:
    """Common practice: stages where spreading and closing takes longer than the open time."""
    assert formulas.glue_stages(joints, each, open_time) == stages


def test_coverage_gives_the_litres() -> None:
    """Common practice: a tenth stays in the cup and on the brush."""
    assert formulas.litres_for(3, 30) == pytest.approx(0.11)
