"""Changed files keep what was not changed, to the byte."""

from __future__ import annotations

import datetime as dt
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_texts import SHOP, STOOL, lay, read

from shopday.shop.editing import file_edits
from shopday.shop.editing.toml_editor import TomlDraft
from shopday.shop.editing.toml_format import key_text, value_text
from shopday.shop.faults import ShopdayError, ShopFaults
from shopday.shop.loading.folder_reader import read_folder
from shopday.shop.models import After, Arrives, Away, Job, Missed, NextPass, Only, Part, Step, Wait

NOTED = """\
# for the Novaks
title = "Bench"   # a low one
promise = 2026-12-18

# the seat, of ash
[[parts]]
id = "seat"

  # first of all
  [[parts.steps]]
  id       = "mill"   # on the planer
  hands_on = "1h"     # a guess

  # then this
  [[parts.steps]]
  id       = "glue"
  hands_on = "30m"
  missed   = { adds = "10m", why = "scuff # it" }   # if late

[[steps]]
id = "deliver"
hands_on = "1h"
# the end
"""


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return lay(tmp_path, {"jobs/bench.toml": NOTED}) / "jobs" / "bench.toml"


def test_one_field_changes_one_line(bench: Path) -> None:
    file_edits.set_job_fields(bench, {"promise": dt.date(2027, 1, 8)})
    assert bench.read_text() == NOTED.replace("2026-12-18", "2027-01-08")


def test_a_new_field_stands_below_the_others(bench: Path) -> None:
    file_edits.set_job_fields(bench, {"weight": 3, "status": "quote"})
    assert 'promise = 2026-12-18\nweight = 3\nstatus = "quote"\n\n# the seat, of ash\n' in bench.read_text()


def test_none_removes_a_field(bench: Path) -> None:
    file_edits.set_job_fields(bench, {"promise": None, "customer": None})
    assert bench.read_text() == NOTED.replace("promise = 2026-12-18\n", "")


def test_fields_of_a_step_are_set(bench: Path) -> None:
    file_edits.set_step_fields(bench, "seat", "mill", {"hands_on": 90, "passes": 2})
    expected = NOTED.replace('"1h"     # a guess', '"1h 30m"     # a guess\n  passes = 2')
    assert bench.read_text() == expected


def test_values_may_be_those_of_the_models(bench: Path) -> None:
    fields = {
        "waits": (Wait(name="in clamps", takes=240), Wait(name="rests", takes=60, informs=True)),
        "after": (After(step="mill"), After(step="mill", when="hands-off")),
        "within": 1440,
        "missed": Missed(adds=20),
    }
    file_edits.set_step_fields(bench, "seat", "glue", fields)
    step = read_folder(bench.parent.parent).jobs["bench"].parts[0].steps[1]
    assert {name: getattr(step, name) for name in fields} == fields
    assert 'after = ["mill", { step = "mill", when = "hands-off" }]' in bench.read_text()
    assert 'missed   = { adds = "20m" }   # if late' in bench.read_text()


def test_fields_within_an_inline_table_are_set(bench: Path) -> None:
    file_edits.set_fields(bench, ("parts", "seat", "steps", "glue", "missed"), {"adds": "25m"})
    assert bench.read_text() == NOTED.replace('"10m"', '"25m"')


def test_a_step_is_inserted_with_the_layout_around_it(bench: Path) -> None:
    file_edits.insert_step(bench, "seat", Step(id="cut", name="Cut", hands_on=20), 1)
    new = '\n  [[parts.steps]]\n  id = "cut"\n  name = "Cut"\n  hands_on = "20m"\n\n  # then this\n'
    assert bench.read_text() == NOTED.replace("\n  # then this\n", new)


def test_a_step_is_added_at_the_end(bench: Path) -> None:
    file_edits.insert_step(bench, "seat", Step(id="sand", hands_on=20))
    file_edits.insert_step(bench, None, Step(id="thanks", arrives=Arrives(on=dt.date(2027, 1, 1))))
    job = read_folder(bench.parent.parent).jobs["bench"]
    assert [s.id for s in job.parts[0].steps] == ["mill", "glue", "sand"]
    assert [s.id for s in job.steps] == ["deliver", "thanks"]


def test_a_step_moves_with_its_comments(bench: Path) -> None:
    file_edits.move_step(bench, "seat", "glue", 0)
    text = bench.read_text()
    assert (
        text.index("# then this") < text.index('"glue"') < text.index("# first of all") < text.index('"mill"')
    )
    file_edits.move_step(bench, "seat", "glue", 1)
    assert bench.read_text() == NOTED


def test_a_step_is_removed(bench: Path) -> None:
    file_edits.remove_step(bench, "seat", "mill")
    start, end = NOTED.index("  # first of all"), NOTED.index("  # then this")
    assert bench.read_text() == NOTED[:start] + NOTED[end:]


def test_the_last_step_of_a_part_may_go_and_come_back(bench: Path) -> None:
    for name in ("mill", "glue"):
        file_edits.remove_step(bench, "seat", name)
    assert "parts.steps" not in bench.read_text()
    file_edits.insert_step(bench, "seat", Step(id="mill", hands_on=5))
    assert '\n[[parts]]\nid = "seat"\n\n  [[parts.steps]]\n  id = "mill"\n' in bench.read_text()


def test_line_endings_byte_order_mark_and_mode_are_kept(bench: Path) -> None:
    raw = b"\xef\xbb\xbf" + NOTED.replace("\n", "\r\n").encode()
    bench.write_bytes(raw)
    bench.chmod(0o640)
    file_edits.set_job_fields(bench, {"title": "Low bench", "weight": 2})
    expected = raw.replace(b'"Bench"', b'"Low bench"').replace(b"12-18\r\n", b"12-18\r\nweight = 2\r\n")
    assert bench.read_bytes() == expected
    assert bench.stat().st_mode & 0o777 == 0o640


def test_an_unchanged_file_is_not_written(bench: Path) -> None:
    before = bench.stat()
    file_edits.set_job_fields(bench, {"title": "Bench"})
    assert bench.stat().st_ino == before.st_ino


def test_an_unchanged_value_keeps_its_layout(bench: Path) -> None:
    laid_out = NOTED.replace(
        'hands_on = "30m"', 'waits = [ # two\n  { name = "a", takes = "1h" }, # one\n  ]\n  hands_on = "30m"'
    )
    bench.write_text(laid_out)
    file_edits.set_step_fields(
        bench, "seat", "glue", {"waits": [{"name": "a", "takes": "1h"}], "hands_on": "35m"}
    )
    assert bench.read_text() == laid_out.replace('"30m"', '"35m"')


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"weight": 12}, "`weight`: 12 is out of range"),
        ({"status": "liv"}, "did you mean"),
        ({"colour": "red"}, "no field `colour`"),
    ],
)
def test_an_unreadable_result_is_not_written(bench: Path, fields: dict[str, Any], said: str) -> None:
    with pytest.raises(ShopFaults, match=said):
        file_edits.set_job_fields(bench, fields)
    assert bench.read_text() == NOTED


def test_a_missing_place_cannot_be_changed(bench: Path) -> None:
    with pytest.raises(ShopdayError, match="no `polish`"):
        file_edits.set_step_fields(bench, "seat", "polish", {"passes": 2})
    with pytest.raises(ShopdayError, match="there is no such file"):
        file_edits.set_job_fields(bench.with_name("gone.toml"), {"weight": 2})


def test_a_faulty_file_is_not_changed(bench: Path) -> None:
    bench.write_text("title = \n")
    with pytest.raises(ShopFaults, match=r"bench.toml:1: not TOML"):
        file_edits.set_job_fields(bench, {"weight": 2})
    assert bench.read_text() == "title = \n"


def test_an_unsupported_layout_is_not_changed(bench: Path) -> None:
    text = '[[steps]]\nid = "x"\nhands_on = "1h"\nmissed.adds = "10m"\n'
    bench.write_text(text)
    with pytest.raises(ShopdayError, match="change it by hand"):
        file_edits.set_fields(bench, ("steps", "x", "missed"), {"why": "scuff"})
    assert bench.read_text() == text


def test_inline_lists_are_changed_inline(bench: Path) -> None:
    bench.write_text('steps = [{ id = "a", hands_on = "1h" }, { id = "b", hands_on = "1h" }]\n')
    file_edits.move_step(bench, None, "b", 0)
    file_edits.insert_step(bench, None, Step(id="c", hands_on=5))
    file_edits.remove_step(bench, None, "a")
    file_edits.set_step_fields(bench, None, "b", {"hands_on": "2h"})
    assert bench.read_text() == 'steps = [{ id = "b", hands_on = "2h" }, { id = "c", hands_on = "5m" }]\n'


class TestShop:
    def test_hours_counts_people_and_days_off_are_written(self, tmp_path: Path) -> None:
        shop = lay(tmp_path, {}) / "shop.toml"
        file_edits.set_table(shop, "hours", {"friday": ["08:00-12:00"], "saturday": None})
        file_edits.set_fields(shop, ("gear", "long-clamps"), {"count": 12})
        file_edits.set_fields(shop, ("people", "sam"), {"name": "Sam"})
        file_edits.add_entry(
            shop, ("closed",), {"from": dt.date(2026, 12, 24), "to": dt.date(2026, 12, 26), "why": "rest"}
        )
        file_edits.set_table(shop, "temperature", {"day": "20C", "night": 12.0})
        file_edits.set_table(shop, "rules", {"dust_settles": 45})
        read_back = read_folder(tmp_path).shop
        assert list(read_back.hours) == ["monday", "friday"]
        assert read_back.gear[0].count == 12
        assert read_back.people[1].name == "Sam"
        assert read_back.closed[0].last == dt.date(2026, 12, 26)
        assert read_back.temperature is not None
        assert (read_back.temperature.night, read_back.rules.dust_settles) == (12, 45)
        file_edits.remove_entry(shop, ("closed",), 0)
        assert read_folder(tmp_path).shop.closed == ()

    def test_an_added_entry_is_removed_without_a_trace(self, tmp_path: Path) -> None:
        shop = lay(tmp_path, {}) / "shop.toml"
        file_edits.add_entry(shop, ("stations",), {"id": "lathe", "noisy": True})
        assert read_folder(tmp_path).shop.stations[-1].noisy
        file_edits.remove_entry(shop, ("stations",), "lathe")
        assert shop.read_text() == SHOP


FULL = Job(
    title='Say "desk" \\ [x] \x1b é',
    promise=dt.date(2026, 12, 18),
    weight=2,
    parts=(
        Part(
            id="top",
            name="Top",
            steps=(
                Step(id="mark", hands_on=0),
                Step(
                    id="coat",
                    hands_on=50,
                    spread=(30, 90),
                    hands=2,
                    one_sitting=True,
                    stations=("bench",),
                    gear={"long-clamps": 2},
                    dusty=False,
                    still_air=True,
                    after=(After(step="mark", when="hands-off", within=60),),
                    within=30,
                    missed=Missed(adds=5, why="x"),
                    waits=(Wait(name="dries", takes=600, keeps=("bench",), still_air=True, cures=True),),
                    passes=3,
                    next_pass=NextPass(extra=15, within=720, missed=Missed(adds=30)),
                    another_pass=0.25,
                    only=Only(days=("saturday",), between=(540, 900)),
                    on=dt.datetime(2026, 12, 19, 10, 0),
                ),
                Step(id="out", away=Away(who="coater", takes=("workdays", 5)), after=()),
                Step(id="in", arrives=Arrives(what="hinges", on=dt.date(2026, 12, 3), source="supplier")),
            ),
        ),
        Part(id="empty"),
    ),
    steps=(Step(id="deliver", hands_on=60, waits=()),),
)


def test_a_job_written_is_read_again(tmp_path: Path) -> None:
    lay(tmp_path, {})
    file_edits.write_job(tmp_path / "jobs" / "desk.toml", FULL)
    assert read_folder(tmp_path).jobs["desk"] == FULL


def test_a_new_job_never_overwrites(bench: Path) -> None:
    with pytest.raises(ShopdayError, match=r"already is a bench\.toml; choose another name"):
        file_edits.write_job(bench, FULL)
    assert bench.read_text() == NOTED


def test_a_new_job_looks_like_one_written_by_hand(tmp_path: Path) -> None:
    lay(tmp_path, {})
    job = read(tmp_path, {"jobs/stool.toml": STOOL}).jobs["stool"]
    file_edits.write_job(tmp_path / "jobs" / "copy.toml", job)
    one_line = (
        STOOL.replace("waits = [\n    ", "waits = [")
        .replace(" },\n    {", " }, {")
        .replace(" },\n  ]", " }]")
    )
    assert (tmp_path / "jobs" / "copy.toml").read_text() == one_line


CHANGES = st.one_of(
    st.tuples(
        st.just("put"), st.sampled_from(["name", "within", "passes"]), st.sampled_from([None, "1h", 3])
    ),
    st.tuples(st.just("insert"), st.integers(0, 4), st.just(0)),
    st.tuples(st.just("move"), st.integers(0, 4), st.integers(0, 4)),
    st.tuples(st.just("remove"), st.integers(0, 4), st.just(0)),
)


def lines(text: str) -> list[str]:
    return [line for line in text.split("\n") if line]


def kept_whole(what: str, before: list[str], after: list[str]) -> bool:
    """Whether every line stands as it stood, but for the one line, or the one entry, that was to change."""
    if what == "move":
        return sorted(before) == sorted(after)
    if what == "remove":
        return in_order(after, before)
    gone = [line for line in before if line not in after]
    return len(gone) <= (what == "put") and in_order([line for line in before if line not in gone], after)


def in_order(some: list[str], all_of_them: list[str]) -> bool:
    rest = iter(all_of_them)
    return all(line in rest for line in some)


@given(st.lists(CHANGES, max_size=8))
@settings(deadline=None)
def test_any_run_of_changes_says_what_was_asked_for(changes: list[tuple[str, Any, Any]]) -> None:
    draft = TomlDraft(NOTED)
    steps = ("parts", "seat", "steps")
    for number, (what, a, b) in enumerate(changes):
        count = len(draft.data["parts"][0].get("steps", []))
        before = lines(draft.text)
        if what == "insert":
            draft.insert(steps, {"id": f"n{number}", "hands_on": "1h"}, a)
        elif what == "put" and count:
            draft.put((*steps, number % count), a, b)
        elif count and what == "move":
            draft.move((*steps, a % count), b)
        elif count and what == "remove":
            draft.remove((*steps, a % count))
        draft.check()
        assert kept_whole(what, before, lines(draft.text)), (what, a, b)
    assert draft.text.startswith('# for the Novaks\ntitle = "Bench"   # a low one\n')
    assert draft.text.endswith("# the end\n")


SCALARS = st.one_of(
    st.text(st.characters(exclude_categories=("Cs",))),
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)


@given(st.lists(SCALARS), st.text(st.characters(exclude_categories=("Cs",))))
def test_any_value_is_read_as_it_was_written(values: list[Any], key: str) -> None:
    text = f"{key_text(key)} = {value_text(values)}\n"
    assert tomllib.loads(text) == {key: values}
    assert tomlkit.parse(text).unwrap() == {key: values}
