"""Every fault of shop.toml, with its exact line (marked `<--`) and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_texts import SHOP, faults, marked, read

HEAD = 'name = "Larch Lane"\ntimezone = "Europe/Vienna"\n'

OUT = HEAD + '[[people]]\nid = "sam"\nname = "Sam"\n'

CASES = {
    "unknown zone": ('name = "x"\ntimezone = "Europe/Wien"  <--\n', "no time zone `Europe/Wien`", "did you mean `Europe/"),
    "zone that is a folder": ('name = "x"\ntimezone = "Europe"  <--\n', "no time zone `Europe`", ""),
    "no zone": ('name = "x"  <--\n', "the shop needs `timezone`", 'add timezone = "Europe/Berlin"'),
    "unknown field": (HEAD + 'gears = 3  <--\n', "the shop has no field `gears`", "did you mean `gear`?"),
    "python name of a field": (HEAD + "[[closed]]\nfrom = 2026-01-01\nlast = 2026-01-02  <--\n", "a closed day has no field `last`", ""),
    "note not text": ("name = 'x'\ntimezone = 'UTC'\nnote = 3  <--\n", "`note`: 3 is not text", 'as note = "{hello} your {piece}: '),
    "name not text": ("name = 3  <--\ntimezone = 'UTC'\n", "`name`: 3 is not text", "write text in quotes"),
    "weekday": (HEAD + '[hours]\nmondy = ["08:00-12:00"]  <--\n', "no weekday `mondy`", 'did you mean "monday"?'),
    "overlap": (HEAD + '[hours]\nmonday = ["08:00-12:00", "11:00-13:00"]  <--\n', "`monday`: \"08:00-12:00\" and \"11:00-13:00\" overlap", "make them one span, or part them"),
    "past midnight": (HEAD + '[hours]\nfriday = "22:00-02:00"  <--\n', "`friday`: \"22:00-02:00\" ends before it starts", "split it at midnight"),
    "hours as numbers": (HEAD + "[hours]\nmonday = 8  <--\n", "`monday`: 8 is not a list of hours", 'write ["08:00-12:00", "12:45-17:00"]'),
    "closed backwards": (HEAD + "[[closed]]\nfrom = 2026-12-24\nto = 2026-12-20  <--\n", "closed from 2026-12-24 to 2026-12-20, which is earlier", "the earlier day comes first"),
    "date in quotes": (HEAD + '[[closed]]\nfrom = "2026-12-24"  <--\n', '`from`: "2026-12-24" is not a date', "write it as 2026-12-19, without quotes"),
    "date as a number": (HEAD + "[[closed]]\nfrom = 20261224  <--\n", "`from`: 20261224 is not a date", "write it as 2026-12-19"),
    "date with a time": (HEAD + "[[closed]]\nfrom = 2026-12-24T10:00:00  <--\n", "is not a date", ""),
    "absurd year": (HEAD + "[[closed]]\nfrom = 1066-10-14  <--\n", "`from`: the year 1066 is out of reach", "write one from 2000 to 2199"),
    "open twice": (HEAD + '[[open]]\non = 2026-12-19\nhours = "09:00-10:00"\n[[open]]\non = 2026-12-19  <--\nhours = "11:00-12:00"\n', "2026-12-19 is open twice", "put its hours into one [[open]]"),
    "duration as a number": (HEAD + "[rules]\ndust_settles = 30  <--\n", "`dust_settles`: 30 is not a duration", 'write "30m"'),
    "rules as a list": (HEAD + "rules = []  <--\n", "`rules`: a list is not written as it should be", "write [rules] and its settings below"),
    "single brackets": (HEAD + '[stations]  <--\nid = "bench"\n', "`stations`: a table is not written as it should be", "[[stations]]"),
    "bad id": (HEAD + '[[stations]]\nid = "Table Saw"  <--\n', '"Table Saw" is no id', "use a-z, 0-9 and -, as `table-saw`"),
    "no id": (HEAD + '[[stations]]  <--\nname = "Saw"\n', "a station needs `id`", "add id ="),
    "id twice": (HEAD + '[[gear]]\nid = "cauls"\ncount = 1\n[[gear]]\nid = "cauls"  <--\ncount = 2\n', "`cauls` is there twice among gear", "give each an id of its own"),
    "station and gear": (HEAD + '[[stations]]\nid = "bench"\n[[gear]]\nid = "bench"  <--\ncount = 2\n', "`bench` is a station and a piece of gear", "give one of them another id"),
    "no count": (HEAD + '[[gear]]  <--\nid = "cauls"\n', "a piece of gear needs `count`", "add count = 1"),
    "count in quotes": (HEAD + '[[gear]]\nid = "cauls"\ncount = "2"  <--\n', '`count`: "2" is not a whole number', "without quotes"),
    "count of none": (HEAD + '[[stations]]\nid = "cauls"\ncount = 0  <--\n', "`count`: 0 is out of range", "write at least 1"),
    "huge count": (HEAD + f'[[gear]]\nid = "cauls"\ncount = {10**15}  <--\n', "is out of range", "write at most 1000"),
    "yes and no": (HEAD + '[[stations]]\nid = "saw"\nnoisy = "yes"  <--\n', '`noisy`: "yes" is not true or false', "write true or false, without quotes"),
    "role": (HEAD + '[[people]]\nid = "sam"\nrole = "helpr"  <--\n', '`role`: "helpr" is not one of its values', 'did you mean "helper"?'),
    "no maker": (HEAD + '[[people]]  <--\nid = "sam"\nrole = "helper"\n', "nobody is a maker, who can lead a step", 'give one person role = "maker"'),
    "nobody": (HEAD + "people = []  <--\n", "nobody is a maker, who can lead a step", ""),
    "out backwards": (OUT + 'out = [{ from = 2026-12-02, to = 2026-12-01 }]  <--\n', "out from 2026-12-02 to 2026-12-01, which is earlier", "the earlier day comes first"),
    "out twice": (OUT + 'out = [\n{ from = 2026-12-02, to = 2026-12-04 },\n{ from = 2026-12-04, hours = "08:00-09:00" },  <--\n]\n', "Sam is out twice at a time, 2026-12-02 to 2026-12-04 and 2026-12-04, 08:00-09:00", "make them one, or part them"),
    "out past midnight": (OUT + 'out = [{ from = 2026-12-02, hours = "22:00-02:00" }]  <--\n', '`hours`: "22:00-02:00" ends before it starts', "split it at midnight"),
    "out in no hours": (OUT + "out = [{ from = 2026-12-02, hours = [] }]  <--\n", "`hours` names none", "leave `hours` out for the whole day"),
    "out with an unknown field": (OUT + "out = [{ from = 2026-12-02, til = 2026-12-04 }]  <--\n", "an `out` has no field `til`", ""),
    "out without a day": (OUT + 'out = [{ why = "ill" }]  <--\n', "an `out` needs `from`", "add from = 2026-12-24"),
    "out as a date": (OUT + "out = 2026-12-02  <--\n", "`out`: 2026-12-02 is not written as it should be", 'write out = [{ from = 2026-12-01, to = 2026-12-02, why = "ill" }]'),
    "night missing": (HEAD + '[temperature]  <--\nday = "20C"\n', "`temperature` needs `night`", 'add night = "12C"'),
    "degrees": (HEAD + '[temperature]\nday = "20"  <--\nnight = "12C"\n', '`day`: "20" is not a temperature', 'write it as "20C" or "68F"'),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_every_fault_of_the_shop_is_reported(case: str, tmp_path: Path) -> None:
    text, wrong, right = CASES[case]
    shop, line = marked(text)
    (fault,) = faults(tmp_path, {"shop.toml": shop})
    assert (fault.file, fault.line) == ("shop.toml", line)
    assert wrong in fault.wrong
    assert right in fault.right


RULES = {
    "FREQ=WEEKLY;INTERVAL=0": "INTERVAL=0 cannot be",
    "FREQ=WEKLY": "it names no days",
    "every Wednesday": "it is no recurrence rule",
    "FREQ=HOURLY": "it names no days",
    "FREQ=DAILY;BYHOUR=8": "BYHOUR gives a time of day",
    "FREQ=WEEKLY;BYDAY=XX": "it cannot be understood",
    "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30": "it gives no day at all",
    "FREQ=DAILY;UNTIL=20200101": "it gives no day at all",
    "FREQ=DAILY;UNTIL=soon": "it cannot be understood",
    "": "it is no recurrence rule",
    "DTSTART:20260101\nRRULE:FREQ=DAILY": "it is no recurrence rule",
}


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_that_gives_no_days_is_a_fault(rule: str, tmp_path: Path) -> None:
    entry = f'{{ rule = {rule!r}, from = 2026-11-25, hours = ["15:00-17:00"] }}'
    entry = entry.replace("'", '"')
    shop = SHOP.replace('role = "helper"', f'role = "helper"\nalso = [\n  {entry},\n]')
    (fault,) = faults(tmp_path, {"shop.toml": shop})
    assert fault.line == 1 + shop[: shop.index("{ rule")].count("\n")
    assert fault.wrong.startswith("`rule`: ")
    assert RULES[rule] in fault.wrong
    assert fault.right


def test_days_out_may_touch_or_share_a_day(tmp_path: Path) -> None:
    spans = '{ from = 2026-12-02, hours = "08:00-09:00" }, { from = 2026-12-02, hours = "09:00-10:00" }'
    shop = f"{OUT}out = [{{ from = 2026-11-30, to = 2026-12-01 }}, {spans}]\n"
    (person,) = read(tmp_path, {"shop.toml": shop}).shop.people
    assert [(out.end.day, out.hours) for out in person.out] == [
        (1, None),
        (2, ((480, 540),)),
        (2, ((540, 600),)),
    ]


def test_all_faults_are_reported_at_once_in_the_order_of_lines(tmp_path: Path) -> None:
    shop = HEAD.replace("Vienna", "Wien") + 'colour = "red"\n[rules]\nnoise = 3\n[[gear]]\nid = "X"\n'
    found = faults(tmp_path, {"shop.toml": shop, "jobs/a.toml": "a = \n", "materials.toml": "x = 1\n"})
    assert [(f.file, f.line) for f in found] == [
        ("shop.toml", 2),
        ("shop.toml", 3),
        ("shop.toml", 5),
        ("shop.toml", 6),
        ("shop.toml", 7),
        ("materials.toml", 1),
        ("jobs/a.toml", 1),
    ]


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE",
        "RRULE:FREQ=DAILY",
        "freq=monthly;byday=1SA",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29",
        "FREQ=DAILY;UNTIL=20261231",
        "FREQ=DAILY;UNTIL=20261231T000000Z",
        "FREQ=DAILY;COUNT=3",
        "FREQ=DAILY;UNTIL=20261125",
    ],
)
def test_a_rule_that_gives_days_is_accepted(rule: str, tmp_path: Path) -> None:
    entry = f'{{ rule = "{rule}", from = 2026-11-25, hours = ["15:00-17:00"] }}'
    shop = SHOP.replace('role = "helper"', f'role = "helper"\nalso = [{entry}]')
    assert read(tmp_path, {"shop.toml": shop}).shop.people[1].also[0].rule == rule
