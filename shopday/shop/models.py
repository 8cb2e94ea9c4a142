"""What the owner writes: the models of shop.toml, jobs/NAME.toml and materials.toml.

Durations are whole minutes, temperatures degrees Celsius, times of day minutes after midnight. The texts in files
("2h 30m", "68F", "08:00-12:00") are read by `shopday.shop.quantities`.
"""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopday.shop.base_model import Model, Noted
from shopday.shop.fields import (
    Date,
    DateTime,
    DaySpan,
    DaySpans,
    Degrees,
    Flag,
    Id,
    Minutes,
    MixRatio,
    Number,
    Spread,
    Takes,
    Whole,
)
from shopday.shop.measures import Units
from shopday.text.wrong_input import WrongInput

Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
WeekHours = dict[Weekday, DaySpans]
WEEKDAYS: tuple[Weekday, ...] = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
)  # fmt: skip


class Closed(Model):
    """Whole days off, both ends included."""

    first: Date = Field(alias="from")
    last: Date | None = Field(default=None, alias="to")
    why: str = ""


class OpenDay(Model):
    """A date whose hours replace those of its weekday, and which lifts a closed day."""

    on: Date
    hours: DaySpans


class Rules(Model):
    shortest_stretch: Minutes = 0
    dust_settles: Minutes = 0
    noise: DaySpan | None = None
    reserve: Flag = True


class Also(Model):
    """Hours in addition to a person's usual ones, by an RFC 5545 recurrence rule."""

    rule: str
    first: Date = Field(alias="from")
    hours: DaySpans


class Out(Model):
    """Days on which one person is out, both ends included; with `hours`, only in those of each day."""

    first: Date = Field(alias="from")
    last: Date | None = Field(default=None, alias="to")
    hours: DaySpans | None = None
    why: str = ""

    @property
    def end(self) -> dt.date:
        """The last day."""
        return self.last or self.first


class Person(Model):
    """One person. rate: what an hour of their work costs; the shop's `prices.hour` by default."""

    id: Id
    name: str = ""
    role: Literal["maker", "helper"] = "maker"
    hours: WeekHours | None = None
    also: tuple[Also, ...] = ()
    out: tuple[Out, ...] = ()
    rate: Number | None = Field(default=None, ge=0, le=100_000)

    @property
    def label(self) -> str:
        """What people call them."""
        return self.name or self.id


class Station(Model):
    id: Id
    name: str = ""
    count: Whole = Field(default=1, ge=1, le=1000)
    noisy: Flag = False
    dusty: Flag = False
    room: str = "main"
    sprays: Flag | None = None

    @property
    def for_spraying(self) -> bool:
        """True if flammable finish may be sprayed there: by its `sprays`, else by its name."""
        return "spray" in f"{self.id} {self.name}".lower() if self.sprays is None else self.sprays


class Gear(Model):
    id: Id
    name: str = ""
    count: Whole = Field(ge=0, le=1000)


class Temperature(Model):
    day: Degrees
    night: Degrees


class Wood(Model):
    """kg: kilograms per cubic metre; moves: share of the width per per cent of moisture, flat-sawn (C_T)."""

    kg: Number = Field(gt=0, le=2000)
    moves: Number = Field(ge=0, le=0.02)


class Prices(Model):
    """The shop's prices. hour: of one person's work; litre: of a material; currency: shown after each sum."""

    currency: str = Field(default="", max_length=8)
    hour: Number | None = Field(default=None, ge=0, le=100_000)
    litre: dict[Id, Annotated[Number, Field(ge=0, le=100_000)]] = Field(default_factory=dict)


class Stock(Model):
    """One tin of a material that goes off: on the day printed on it, or some time after it was opened."""

    material: Id
    opened: Date | None = None
    expires: Date | None = None


class Shop(Model):
    """shop.toml."""

    name: str
    timezone: str
    clock: Literal[12, 24] = 24
    note: str = ""
    hours: WeekHours = Field(default_factory=dict)
    closed: tuple[Closed, ...] = ()
    open: tuple[OpenDay, ...] = ()
    rules: Rules = Rules()
    people: tuple[Person, ...] = (Person(id="maker"),)
    stations: tuple[Station, ...] = ()
    gear: tuple[Gear, ...] = ()
    temperature: Temperature | None = None
    humidity: Number | None = Field(default=None, ge=1, le=99)
    units: Units = "metric"
    species: dict[Id, Wood] = Field(default_factory=dict)
    prices: Prices = Prices()
    stock: tuple[Stock, ...] = ()


class Missed(Model):
    """What missing a window costs."""

    adds: Minutes
    why: str = ""


class After(Model):
    """One thing that a step waits for. step: as written; when: a wait's name, "hands-off", or None for complete."""

    step: str
    when: str | None = None
    within: Minutes | None = None


def _as_keeps(value: Any) -> Any:
    if isinstance(value, str):
        return value if value == "all" else (value,)
    if isinstance(value, (list, tuple)) and all(isinstance(item, str) for item in value):
        return tuple(value)
    raise WrongInput('it is neither "all" nor a list of ids', 'write keeps = "all" or keeps = ["bench"]')


class Wait(Model):
    """Unattended time after the hands-on time.

    spread: the shortest and longest time it is likely to take.
    keeps:  "all", or ids of the step's stations and gear.
    """

    name: str
    takes: Minutes
    spread: Spread | None = None
    keeps: Annotated[Literal["all"] | tuple[str, ...], BeforeValidator(_as_keeps)] = ()
    still_air: Flag = False
    informs: Flag = False
    cures: Flag = False


class NextPass(Model):
    extra: Minutes = 0
    within: Minutes | None = None
    missed: Missed | None = None


class Only(Model):
    days: tuple[Weekday, ...] = WEEKDAYS
    between: DaySpan = (0, 1440)


class Away(Model):
    """Work out of the shop. takes: ("minutes", n) or ("workdays", n)."""

    who: str = ""
    takes: Takes


class Arrives(Model):
    """Something that arrives. lead: how long it takes from the order, which gives the last day to order it."""

    what: str = ""
    on: Date
    source: str = Field(default="", alias="from")
    lead: Takes | None = None


class Setup(Model):
    """A setting of a machine, in the same words wherever it is the same, and how much of the hands-on time it takes."""

    what: str = Field(min_length=1, max_length=80)
    takes: Minutes


class Moisture(Model):
    """The moisture of the wood, in %, that a reading must show before a step is begun; a missing limit follows from
    the shop's own air."""

    least: Number | None = Field(default=None, ge=0, le=60)
    most: Number | None = Field(default=None, ge=1, le=60)


def _as_after(value: Any) -> Any:
    items = value if isinstance(value, (list, tuple)) else [value]
    return tuple({"step": item} if isinstance(item, str) else item for item in items)


class Step(Noted):
    """One step of a job.

    amount_ml: millilitres of the material for one pass, to tell what to have and to mix.
    spreading: minutes of the hands-on time in which the mix is used; all of it by default.
    lifts_kg:  kilograms lifted, turned or carried, to tell how many people that takes.
    minds:     cautions: ids of the book of cautions, or own words.
    costs:     what is paid besides hours and material of the book: timber, hardware, work outside.
    """

    id: Id
    name: str = ""
    hands_on: Minutes = 0
    spread: Spread | None = None
    hands: Literal[1, 2] = 1
    one_sitting: Flag = False
    stations: tuple[str, ...] = ()
    gear: dict[str, Annotated[Whole, Field(ge=1, le=1000)]] = Field(default_factory=dict)
    dusty: Flag | None = None
    noisy: Flag | None = None
    still_air: Flag = False
    room: str | None = None
    after: Annotated[tuple[After, ...], BeforeValidator(_as_after)] | None = None
    within: Minutes | None = None
    missed: Missed | None = None
    waits: tuple[Wait, ...] | None = None
    material: str | None = None
    amount_ml: Number | None = Field(default=None, gt=0)
    spreading: Minutes | None = None
    lifts_kg: Number | None = Field(default=None, gt=0, le=100_000)
    minds: tuple[str, ...] = ()
    costs: Number | None = Field(default=None, ge=0, le=10_000_000)
    moisture: Moisture | None = None
    setup: Setup | None = None
    passes: Whole = Field(default=1, ge=1, le=100)
    next_pass: NextPass | None = None
    another_pass: Number = Field(default=0, ge=0, le=0.95)
    only: Only | None = None
    on: DateTime | None = None
    away: Away | None = None
    arrives: Arrives | None = None

    @property
    def absent(self) -> bool:
        """True if it is away or arrives, so that it needs no hands."""
        return self.away is not None or self.arrives is not None

    @property
    def label(self) -> str:
        """The name for people: the one written, or one made from the id."""
        return self.name or self.id.replace("-", " ").capitalize()


class Part(Model):
    """One part of a job. recipe: the one it was made from, under which the shop's own times are kept."""

    id: Id
    name: str = ""
    recipe: Id | None = None
    steps: tuple[Step, ...] = ()

    @property
    def label(self) -> str:
        return self.name or self.id.replace("-", " ").capitalize()


class Job(Noted):
    """jobs/NAME.toml; the id is NAME."""

    title: str = ""
    customer: str = ""
    promise: Date | None = None
    begin: Date | None = None
    weight: Whole = Field(default=1, ge=1, le=9)
    status: Literal["live", "quote", "shelved", "cancelled", "delivered"] = "live"
    parts: tuple[Part, ...] = ()
    steps: tuple[Step, ...] = ()

    def step_at(self, part: str | None, id: str) -> Step | None:
        """The step with this id, in the part with this id (None: of the whole job); None if there is none."""
        steps = self.steps if part is None else next((p.steps for p in self.parts if p.id == part), ())
        return next((step for step in steps if step.id == id), None)


class Material(Model):
    """One entry of the material book. Every default is a starting value: the label rules.

    kind:            "glue", "resin", "finish", ...
    waits:           given to a step with this material that writes none of its own.
    within, missed:  window of the next pass (recoat), given to `next_pass` when the step writes none.
    lowest:          no work with it below this temperature (C); the first wait wants it too.
    highest:         made for a shop up to this temperature (C): above it, it is warned of, and cures no faster.
    rated_at:        temperature (C) at which its `cures` waits are rated; doubles_per: degrees that double the rate.
    activation_kj:   optional: Arrhenius activation energy (kJ/mol) used instead of `doubles_per`.
    pot_life:        minutes a mix stays usable; deepest_layer_mm: deepest pour in one layer.
    most_litres:     the most that is mixed or poured at once.
    mix:             ratio as on a label: "3:1", or "100:44 by weight"; density: kilograms a litre, for one by weight.
    coverage_m2_per_l: square metres a litre covers.
    lamp:            it hardens under an ultraviolet lamp alone.
    sprayed:         it is sprayed and its vapour burns: only in a place for spraying.
    most_humidity:   relative humidity (%) above which a film blushes or does not dry.
    open_time:       minutes one spread face may lie open; closed_time: minutes from the first spread to full pressure.
    dwell, buff_within: minutes an oil stands before it is wiped, and how long after that it still can be.
    handle:          minutes from the last coat until the piece may be handled or wrapped.
    full_cure:       minutes to full cure, told to the customer.
    once_opened:     minutes it keeps once its tin was opened.
    consumables:     what is used up with it: rags, cups, gloves.
    oily_rags:       rags with it heat by themselves and burn.
    cautions:        shown wherever it is used; always defer to the label.
    sources:         provenance per field: "published: ...", "common practice", "label, noted by the shop".
    """

    id: Id
    name: str = ""
    kind: str = ""
    waits: tuple[Wait, ...] = ()
    within: Minutes | None = None
    missed: Missed | None = None
    lowest: Degrees | None = None
    highest: Degrees | None = None
    rated_at: Degrees = 21.0
    doubles_per: Number = Field(default=10.0, gt=0)
    activation_kj: Number | None = Field(default=None, gt=0)
    most_humidity: Number | None = Field(default=None, gt=0, le=100)
    open_time: Minutes | None = None
    closed_time: Minutes | None = None
    pot_life: Minutes | None = None
    deepest_layer_mm: Number | None = Field(default=None, gt=0)
    most_litres: Number | None = Field(default=None, gt=0)
    mix: MixRatio = ""
    density: Number | None = Field(default=None, gt=0, le=20)
    coverage_m2_per_l: Number | None = Field(default=None, gt=0)
    dwell: Minutes | None = None
    buff_within: Minutes | None = None
    handle: Minutes | None = None
    full_cure: Minutes | None = None
    once_opened: Minutes | None = None
    consumables: tuple[str, ...] = ()
    oily_rags: bool = False
    sprayed: bool = False
    lamp: bool = False
    cautions: tuple[str, ...] = ()
    sources: dict[str, str] = Field(default_factory=dict)
