"""Every fault of a job file, with its exact line (marked `<--`) and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_texts import STOOL, faults, marked

PART = '[[parts]]\nid = "seat"\n[[parts.steps]]\nid = "glue"\n'
WORK = PART + 'hands_on = "30m"\n'
USES = WORK + 'stations = ["bench"]\n'

CASES = {
    "misspelt field": (PART + 'hand_on = "30m"  <--\n', "a step has no field `hand_on`", "did you mean `hands_on`?"),
    "no hands-on time": ('[[parts]]\nid = "seat"\n[[parts.steps]]  <--\nid = "glue"\n', "step `glue` has no `hands_on`", 'add hands_on = "45m"'),
    "a bare number": (PART + "hands_on = 30  <--\n", "`hands_on`: 30 is not a duration", 'write "30m"'),
    "negative": (PART + 'hands_on = "-30m"  <--\n', '`hands_on`: "-30m" is negative', "0m or more"),
    "absurd": (PART + 'hands_on = "90000h"  <--\n', "longer than ten years", "at most 3653d"),
    "workdays of work": (PART + 'hands_on = "2 workdays"  <--\n', "counts workdays, which only `takes` of `away` can", "write it as"),
    "weight": ("weight = 12  <--\n", "`weight`: 12 is out of range", "write at most 9"),
    "status": ('status = "quoted"  <--\n', '`status`: "quoted" is not one of its values', 'did you mean "quote"?'),
    "status far off": ('status = "x"  <--\n', '`status`: "x" is not one of its values', '"shelved", "cancelled" or "delivered"'),
    "promise in quotes": ('promise = "2026-12-18"  <--\n', "is not a date", "without quotes"),
    "hands": (WORK + "hands = 3  <--\n", "`hands`: 3 is not one of its values", "write 1 or 2"),
    "passes": (WORK + "passes = 101  <--\n", "`passes`: 101 is out of range", "write at most 100"),
    "no passes": (WORK + "passes = 0  <--\n", "`passes`: 0 is out of range", "write at least 1"),
    "chance": (WORK + "another_pass = 1.0  <--\n", "`another_pass`: 1.0 is out of range", "write at most 0.95"),
    "endless chance": (WORK + "another_pass = nan  <--\n", "`another_pass`: nan is not", "write a number"),
    "offset": (WORK + "on = 2026-12-19T10:00:00Z  <--\n", "`on`: it has a UTC offset", "write the shop's own time without one"),
    "seconds": (WORK + "on = 2026-12-19T10:00:01  <--\n", "`on`: it has seconds", "write whole minutes"),
    "date for a time": (WORK + "on = 2026-12-19  <--\n", "`on`: 2026-12-19 is not a date with a time", "2026-12-19T10:00:00"),
    "spread order": (WORK + 'spread = ["3h", "1h"]  <--\n', "`spread`: the shortest is longer than the longest", "write the shorter one first"),
    "spread of one": (WORK + 'spread = ["3h"]  <--\n', "`spread` is too short", 'write spread = ["1h", "3h"]'),
    "spread of three": (WORK + 'spread = ["1h", "2h", "3h"]  <--\n', "`spread`", 'spread = ["1h", "3h"]'),
    "unknown station": (WORK + 'stations = [\n  "bench",\n  "tabel-saw",  <--\n]\n', "no station `tabel-saw`", "did you mean `table-saw`?"),
    "nothing like it": (WORK + 'stations = ["kiln"]  <--\n', "no station `kiln`", "there is `bench`, `table-saw`"),
    "gear as a station": (WORK + 'stations = ["long-clamps"]  <--\n', "no station `long-clamps`", "it is gear"),
    "station as gear": (WORK + "gear = { bench = 1 }  <--\n", "no gear `bench`", "it is a station"),
    "station twice": (WORK + 'stations = ["bench", "bench"]  <--\n', "station `bench` is named twice", "name it once"),
    "unknown gear": (WORK + "gear = { long-clamp = 4 }  <--\n", "no gear `long-clamp`", "did you mean `long-clamps`?"),
    "no gear": (WORK + "gear = { long-clamps = 0 }  <--\n", "`long-clamps`: 0 is out of range", "write at least 1"),
    "stations as text": (WORK + 'stations = "bench"  <--\n', '`stations`: "bench" is not written as it should be', 'write stations = ["bench"]'),
    "unknown material": (WORK + 'material = "yelow-pva"  <--\n', "no material `yelow-pva`", "did you mean `yellow-pva`?"),
    "keeps what it has not": (USES + 'waits = [\n  { name = "dry", takes = "1h" },\n  { name = "set", takes = "1h", keeps = ["long-clamps"] },  <--\n]\n', "`keeps` names `long-clamps`, which step `glue` does not use", "there is `bench`, `all`"),
    "keeps a list of all": (USES + 'waits = [{ name = "dry", takes = "1h", keeps = ["all"] }]  <--\n', "`keeps` names `all`", 'write keeps = "all"'),
    "keeps a number": (USES + 'waits = [{ name = "dry", takes = "1h", keeps = 1 }]  <--\n', "`keeps`: it is neither", 'write keeps = "all" or keeps = ["bench"]'),
    "waits of one name": (WORK + 'waits = [\n  { name = "dry", takes = "1h" },\n  { name = "dry", takes = "2h" },  <--\n]\n', "two waits of `glue` are called `dry`", "give each a name of its own"),
    "spread of a wait": (WORK + 'waits = [\n  { name = "dry", takes = "1h" },\n  { name = "set", takes = "1h", spread = ["3h", "2h"] },  <--\n]\n', "`spread`: the shortest is longer than the longest", "write the shorter one first"),
    "recipe": (PART.replace('id = "seat"', 'id = "seat"\nrecipe = "Panel top"  <--') + 'hands_on = "1h"\n', '"Panel top" is no id', "as `panel-top`"),
    "wait without time": (WORK + 'waits = [{ name = "dry" }]  <--\n', "a wait needs `takes`", 'add takes = "4h"'),
    "wait without name": (WORK + 'waits = [{ takes = "1h" }]  <--\n', "a wait needs `name`", "add name ="),
    "no such day": (WORK + 'only = { days = ["saterday"] }  <--\n', '`days`: "saterday" is not one of its values', 'did you mean "saturday"?'),
    "away with work": (PART + 'away = { takes = "5 workdays" }\nhands_on = "1h"  <--\n', "step `glue` has `away` and `hands_on`", "a step of its own"),
    "arrives with waits": (PART + 'arrives = { on = 2026-12-01 }\nwaits = [{ name = "x", takes = "1h" }]  <--\n', "step `glue` has `arrives` and `waits`", "on the step before or after"),
    "away and arrives": (PART + 'away = { takes = "3d" }\narrives = { on = 2026-12-01 }  <--\n', "step `glue` is away and arrives", "make it two steps"),
    "away without time": (PART + 'away = { who = "coater" }  <--\n', "`away` needs `takes`", "add takes ="),
    "window without cost": (WORK + 'missed = { why = "scuff" }  <--\n', "`missed` needs `adds`", 'add adds = "30m"'),
    "after nothing known": (WORK + 'after = ["seat/gleu"]  <--\n', "no step `seat/gleu` to come after", ""),
    "after a part": (STOOL.replace('id = "deliver"', 'id = "deliver"\nafter = ["seat"]  <--'), "no step `seat` to come after", "that is a part; name a step of it, such as `seat/sand`"),
    "after a misspelt step": (STOOL.replace('id = "sand"', 'id = "sand"\n  after = ["mil"]  <--'), "no step `mil` to come after", "did you mean `mill`?"),
    "after a misspelt wait": (STOOL.replace('id = "sand"', 'id = "sand"\n  after = [\n    "mill",\n    { step = "glue", when = "in clmps" },  <--\n  ]'), "`glue` has no wait `in clmps`", "did you mean `in clamps`?"),
    "after a number": (WORK + "after = [3]  <--\n", "`after`: 3 is not written as it should be", 'write after = ["mill"]'),
    "after without step": (WORK + 'after = [{ when = "hands-off" }]  <--\n', "an `after` needs `step`", "add step ="),
    "step twice": (STOOL.replace('id = "sand"', 'id = "mill"  <--'), "`mill` is there twice among the steps of `seat`", "an id of its own"),
    "whole-job step twice": (STOOL.replace('id = "deliver"', 'id = "assemble"  <--'), "`assemble` is there twice among the steps of the whole job", ""),
    "part twice": (STOOL.replace('id = "legs"', 'id = "seat"  <--'), "`seat` is there twice among the parts", ""),
    "waits for itself": (WORK + 'after = ["glue"]  <--\n', "stool/seat/glue waits for itself: stool/seat/glue -> stool/seat/glue", "take one `after` out"),
    "circle": (STOOL.replace('id = "mill"', 'id = "mill"\n  after = ["sand"]  <--'), "stool/seat/mill waits for itself: stool/seat/mill -> stool/seat/sand -> stool/seat/glue -> stool/seat/mill", "take one `after` out"),
    "circle over parts": (STOOL.replace('id = "turn"', 'id = "turn"\n  after = ["deliver"]  <--'), "stool/legs/turn waits for itself: stool/legs/turn -> stool/deliver -> stool/assemble -> stool/legs/turn", ""),
    "steps as a table": ('[steps]  <--\nid = "glue"\n', "`steps`: a table is not written as it should be", "[[steps]]"),
    "a step that is none": ("steps = [3]  <--\n", "`steps`: 3 is not written as it should be", "[[steps]]"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_every_fault_of_a_job_is_reported(case: str, tmp_path: Path) -> None:
    text, wrong, right = CASES[case]
    job, line = marked(text)
    (fault,) = faults(tmp_path, {"jobs/stool.toml": job})
    assert (fault.file, fault.line) == ("jobs/stool.toml", line)
    assert wrong in fault.wrong
    assert right in fault.right
    assert str(fault).startswith(f"jobs/stool.toml:{line}: {fault.wrong}")


def test_a_circle_over_two_jobs_is_reported_once(tmp_path: Path) -> None:
    a, line = marked('[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["b/x"]  <--\n')
    b = '[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["a/x"]\n'
    (fault,) = faults(tmp_path, {"jobs/a.toml": a, "jobs/b.toml": b})
    assert (fault.file, fault.line) == ("jobs/a.toml", line)
    assert fault.wrong == "a/x waits for itself: a/x -> b/x -> a/x"


def test_two_circles_are_both_reported(tmp_path: Path) -> None:
    text = STOOL.replace('id = "mill"', 'id = "mill"\n  after = ["glue"]')
    text = text.replace('id = "assemble"', 'id = "assemble"\nafter = ["deliver"]')
    assert len(faults(tmp_path, {"jobs/stool.toml": text})) == 2


def test_consequences_of_another_fault_are_held_back(tmp_path: Path) -> None:
    text = STOOL.replace('takes = "4h"', "takes = 4").replace(
        'id = "sand"', 'id = "sand"\n  after = [{ step = "glue", when = "in clamps" }]'
    )
    other = '[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["broken/top/mill", "odd/top/mill"]\n'
    odd = '[[parts]]\nid = "Top"\n[[parts.steps]]\nid = "Mill"\nhands_on = "1h"\n'
    files: dict[str, str | bytes] = {
        "jobs/stool.toml": text,
        "jobs/other.toml": other,
        "jobs/broken.toml": "title = \n",
        "jobs/odd.toml": odd,
    }
    found = faults(tmp_path, files)
    assert [(f.file, f.line) for f in found] == [
        ("jobs/broken.toml", 1),
        ("jobs/odd.toml", 2),
        ("jobs/odd.toml", 4),
        ("jobs/stool.toml", 1 + text[: text.index("takes = 4")].count("\n")),
    ]


def test_faults_of_a_file_do_not_hide_its_other_faults(tmp_path: Path) -> None:
    text = STOOL.replace('hands_on = "1h"\n  stations = ["table-saw"]', 'hands_on = 60\n  stations = ["saw"]')
    text = text.replace('id = "sand"', 'id = "sand"\n  after = ["gleu"]').replace('"Stool"', "1")
    assert [f.line for f in faults(tmp_path, {"jobs/stool.toml": text})] == [1, 8, 9, 23]


@pytest.mark.parametrize(
    ("name", "right"),
    [
        ("My Desk.toml", "rename it to my-desk.toml"),
        ("Desk.toml", "rename it to desk.toml"),
        ("木.toml", "a-z, 0-9"),
    ],
)
def test_a_file_name_that_is_no_id_is_a_fault(name: str, right: str, tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, {f"jobs/{name}": STOOL})
    assert fault.file == f"jobs/{name}"
    assert right in fault.right


def test_a_missing_field_hides_nothing_else(tmp_path: Path) -> None:
    shop = 'name = "x"\n[[people]]\nid = "sam"\nrole = "helper"\n[[gear]]\nid = "a"\ncount = 1\n[[gear]]\nid = "a"\n'
    found = faults(tmp_path, {"shop.toml": shop})
    assert [f.line for f in found] == [1, 2, 8, 9]
