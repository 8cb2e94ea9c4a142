"""The figures of the book, held one by one: woods, temperatures, times, coverage, mixes.

The tables were noted from the sources that the book names beside each value (published; common practice; from memory of
data sheets of that generic kind). The second holds them to what is published or common for the kind.
"""

from __future__ import annotations

import pytest

from shopday.shop.materials.formulas import species
from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.models import Material
from shopday.text.durations import DAY, HOUR

BOOK = builtin_materials()

FIELDS = {
    "open": "open_time", "closed": "closed_time", "pot": "pot_life", "lowest": "lowest", "highest": "highest",
    "humid": "most_humidity", "layer": "deepest_layer_mm", "litres": "most_litres", "covers": "coverage_m2_per_l",
    "within": "within", "dwell": "dwell", "buff": "buff_within", "handle": "handle", "full": "full_cure", "opened": "once_opened", "rated": "rated_at",
    "dense": "density",
}  # fmt: skip
NOTED = """
white-pva: open=5 closed=12 lowest=13 covers=5 full=1440 in_clamps=60 hardens=1380
yellow-pva: open=5 closed=12 lowest=10 covers=5 full=1440 in_clamps=30 rests=210 hardens=1200
d3-pva: open=8 closed=15 lowest=10 covers=5 full=1440 in_clamps=60 hardens=1380
urea-formaldehyde: open=20 closed=30 pot=180 lowest=21 covers=5 rated=21 mix=5:2_by_weight in_clamps=720 hardens=720
liquid-hide: open=10 closed=20 lowest=10 covers=5 in_clamps=720 hardens=720
polyurethane-glue: open=15 closed=25 lowest=8 covers=7 full=1440 opened=259200 in_clamps=240(60-240) hardens=1200
epoxy-glue: open=20 closed=40 pot=20 lowest=12 covers=4 full=10080 in_clamps=720(360-1440) hardens=720
tabletop-resin: pot=30 lowest=18 highest=27 layer=6 litres=4 full=10080 firm_gel=300(240-360) dust-free=300 cures=2280(840-3720)
casting-resin: pot=60 lowest=18 highest=25 layer=25 litres=10 full=10080 firm_gel=600(480-720) dust-free=480 cures=3240(3240-4680)
slow-casting-resin: pot=240 lowest=18 highest=25 layer=50 litres=20 full=20160 firm_gel=720(720-1440) dust-free=1080 cures=5400(5400-8280)
hardwax-oil: pot=120 lowest=15 highest=30 covers=30 dwell=10 buff=20 handle=1440 full=10080 mix=3:1 off_dust=240 hardens=1200
drying-oil: lowest=10 covers=15 dwell=20 buff=20 handle=1440 full=20160 dries=1440
oil-varnish: lowest=13 highest=32 humid=80 covers=12 within=2880 handle=4320 full=43200 adds=20 off_dust=480 dries=960
waterborne-varnish: lowest=13 highest=32 humid=80 covers=10 within=1260 handle=1440 full=28800 adds=20 off_dust=120 dries=60(0-120)
shellac: lowest=14 highest=30 humid=65 covers=10 handle=720 full=10080 opened=259200 off_dust=30 dries=90
lacquer: lowest=15 highest=32 humid=65 covers=8 handle=1440 full=10080 off_dust=30
d4-pva: open=8 closed=15 pot=360 lowest=10 covers=5 full=10080 mix=100:5_by_weight in_clamps=60 hardens=1380
hot-hide: open=2 closed=3 lowest=18 covers=5 in_clamps=720 hardens=720
resorcinol: open=15 closed=40 pot=120 lowest=20 covers=4 full=10080 mix=5:1_by_weight in_clamps=720 hardens=720
contact-cement: lowest=18 highest=30 humid=80 covers=3 dwell=20 full=4320 hardens=1440
ca-glue: lowest=10 full=1440 sets=30 hardens=1410
flood-resin: pot=20 lowest=20 highest=27 layer=3 litres=3 covers=0.6 full=10080 mix=1:1_by_volume firm_gel=300(240-360) dust-free=300 cures=3720(2280-3720)
wiping-varnish: lowest=13 highest=32 covers=15 dwell=10 buff=10 handle=1440 full=20160 dries=720
raw-linseed: lowest=10 covers=15 dwell=20 buff=20 handle=10080 full=43200 dries=5760(4320-10080)
tung-oil: lowest=10 covers=15 dwell=30 buff=20 handle=4320 full=43200 dries=2880(1440-4320)
hard-wax: lowest=10 highest=30 covers=25 dwell=15 buff=45 handle=720 full=4320 dries=720
soap: lowest=10 covers=12 dwell=10 buff=20 handle=1440 full=4320 dries=720
milk-paint: pot=360 lowest=10 highest=32 humid=80 covers=10 handle=1440 full=43200 off_dust=60 dries=60
paint: lowest=10 highest=32 humid=80 covers=10 within=8640 handle=1440 full=30240 adds=20 off_dust=120 dries=240
french-polish: lowest=14 highest=28 humid=65 covers=20 handle=1440 full=43200 off_dust=10 rests=710
precat-lacquer: lowest=18 highest=32 humid=65 covers=8 within=420 handle=1440 full=30240 adds=20 off_dust=30 dries=30
conversion-varnish: pot=480 lowest=18 highest=32 humid=65 covers=7 within=630 handle=1440 full=30240 mix=10:1_by_volume adds=30 off_dust=30 dries=60
two-part-polyurethane: pot=180 lowest=15 highest=30 humid=70 covers=8 within=1080 handle=1440 full=20160 mix=10:1_by_volume adds=20 off_dust=60 dries=300
stain: lowest=10 covers=12 dwell=5 buff=10 dries=1440
grain-filler: lowest=10 covers=6 dwell=10 buff=15 dries=1440
uv-oil: lowest=15 highest=30 covers=40 handle=60 full=1440
polyester-filler: pot=5 lowest=10 highest=30 litres=0.1 full=1440 dense=1.8 mix=100:2_by_weight can_be_sanded=30(20-45)
wood-filler: lowest=10 full=1440 can_be_sanded=120(30-360)
"""
"""Minutes, degrees Celsius, mm, litres, m2 a litre; each wait by its name, with its range."""


def noted(material: Material) -> str:
    """A material's figures as the table has them."""
    pieces = [
        f"{short}={getattr(material, name):g}"
        for short, name in FIELDS.items()
        if name in material.model_fields_set
    ]
    pieces += [f"mix={material.mix.replace(' ', '_')}"] if material.mix else []
    pieces += [f"adds={material.missed.adds}"] if material.missed else []
    for wait in material.waits:
        if not wait.informs:
            spread = f"({wait.spread[0]}-{wait.spread[1]})" if wait.spread else ""
            pieces.append(f"{wait.name.replace(' ', '_')}={wait.takes}{spread}")
    return f"{material.id}: {' '.join(pieces)}"


@pytest.mark.parametrize("line", NOTED.split("\n")[1:-1], ids=lambda line: line.partition(":")[0])
def test_a_materials_figures_are_those_recorded(line: str) -> None:
    assert noted(BOOK[line.partition(":")[0]]) == line


def test_every_material_is_recorded() -> None:
    assert [line.partition(":")[0] for line in NOTED.split("\n")[1:-1]] == list(BOOK)


# Published: Navy text NAVEDTRA 14119; common practice for the rest; from memory of data sheets for temperatures.
KIND = [
    ("white-pva", "open_time", 5, 5), ("white-pva", "lowest", 13, 13), ("white-pva", "full_cure", DAY, DAY),
    ("yellow-pva", "open_time", 5, 5), ("yellow-pva", "closed_time", 10, 15), ("yellow-pva", "lowest", 10, 10),
    ("d3-pva", "open_time", 5, 10), ("d3-pva", "lowest", 10, 10), ("urea-formaldehyde", "open_time", 20, 20),
    ("urea-formaldehyde", "rated_at", 21, 21), ("urea-formaldehyde", "pot_life", 3 * HOUR, 4 * HOUR),
    ("liquid-hide", "open_time", 10, 10), ("liquid-hide", "lowest", 10, 10), ("polyurethane-glue", "open_time", 15, 20),
    ("polyurethane-glue", "lowest", 5, 10), ("epoxy-glue", "open_time", 5, 60), ("epoxy-glue", "lowest", 10, 15),
    ("epoxy-glue", "full_cure", 5 * DAY, 7 * DAY), ("tabletop-resin", "deepest_layer_mm", 3, 6),
    ("casting-resin", "deepest_layer_mm", 25, 50), ("slow-casting-resin", "deepest_layer_mm", 50, 100),
    ("casting-resin", "highest", 18, 25), ("slow-casting-resin", "highest", 18, 25), ("tabletop-resin", "full_cure", 7 * DAY, 7 * DAY),
    ("hardwax-oil", "dwell", 10, 15), ("hardwax-oil", "buff_within", 15, 30), ("hardwax-oil", "handle", 24 * HOUR, 36 * HOUR),
    ("hardwax-oil", "full_cure", 7 * DAY, 7 * DAY), ("drying-oil", "dwell", 10, 30), ("drying-oil", "lowest", 10, 10),
    ("drying-oil", "full_cure", 7 * DAY, 30 * DAY), ("oil-varnish", "within", 48 * HOUR, 72 * HOUR),
    ("oil-varnish", "handle", 3 * DAY, 3 * DAY), ("oil-varnish", "full_cure", 30 * DAY, 30 * DAY),
    ("waterborne-varnish", "full_cure", 20 * DAY, 20 * DAY), ("shellac", "lowest", 13, 15), ("shellac", "handle", 12 * HOUR, 12 * HOUR),
    ("shellac", "most_humidity", 65, 70), ("lacquer", "most_humidity", 65, 70), ("lacquer", "full_cure", 7 * DAY, 7 * DAY),
    ("lacquer", "highest", 30, 35), ("oil-varnish", "highest", 30, 35), ("raw-linseed", "lowest", 10, 10),
]  # fmt: skip


@pytest.mark.parametrize(("name", "field", "least", "most"), KIND, ids=lambda value: str(value))
def test_every_figure_is_usual_for_its_kind(name: str, field: str, least: float, most: float) -> None:
    assert least <= getattr(BOOK[name], field) <= most


# Specific gravity at 12 % and C_T, thousandths of the width for each per cent: from memory of the Wood Handbook, tables 5-3
# and 13-5. Those after the line, kilograms a cubic metre: European and tropical tables, from memory, and common practice.
WOODS = {
    "red-alder": (0.41, 2.6), "white-ash": (0.60, 2.74), "basswood": (0.37, 3.3), "beech": (0.64, 4.31),
    "yellow-birch": (0.62, 3.38), "butternut": (0.38, 2.23), "black-cherry": (0.50, 2.48), "douglas-fir": (0.48, 2.67),
    "elm": (0.50, 3.38), "mahogany": (0.50, 2.38), "hard-maple": (0.63, 3.53), "soft-maple": (0.54, 2.89),
    "red-oak": (0.63, 3.69), "white-oak": (0.68, 3.65), "white-pine": (0.35, 2.12), "yellow-poplar": (0.42, 2.89),
    "walnut": (0.55, 2.74),
}  # fmt: skip
BY_WEIGHT = {
    "european-oak": (690, 3.3), "european-ash": (680, 3.2), "european-beech": (710, 4.1), "sycamore-maple": (620, 2.8),
    "european-larch": (590, 3.1), "scots-pine": (520, 3.0), "spruce": (450, 2.9), "sapele": (640, 2.5), "iroko": (650, 2.0),
    "teak": (660, 1.9), "birch-plywood": (680, 0), "mdf": (750, 0),
}  # fmt: skip


@pytest.mark.parametrize("name", [*WOODS, *BY_WEIGHT])
def test_woods_weigh_and_move_as_recorded(name: str) -> None:
    wood = species()[name]
    gravity, moves = WOODS.get(name, (0, 0))
    kilograms, moves = (gravity * 1120, moves) if gravity else BY_WEIGHT[name]
    assert wood.kg == pytest.approx(kilograms, abs=1)
    assert wood.moves == pytest.approx(moves / 1000)


def test_every_wood_is_recorded() -> None:
    assert set(species()) == set(WOODS) | set(BY_WEIGHT)
