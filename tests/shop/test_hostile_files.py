"""Files that are no shop files, and shop files that were damaged: always a fault, never a traceback."""

from __future__ import annotations

import copy
import datetime as dt
import math
import os
import tomllib
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shop_texts import SHOP, STOOL, faults, lay

from shopday.shop.editing.file_edits import set_job_fields, write_job
from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.loading.folder_reader import read_folder
from shopday.shop.models import Job, Step
from shopday.shop.recipes.recipe_library import builtin_texts, recipe_faults, recipes

RICH = (
    STOOL
    + """
[[steps]]
id = "coat"
hands_on = "1h"
material = "hardwax-oil"
passes = 2
next_pass = { extra = "15m", within = "12h", missed = { adds = "30m", why = "scuff" } }
after = [{ step = "seat/glue", when = "in clamps", within = "3h" }, "legs/turn"]
only = { days = ["saturday"], between = "09:00-15:00" }
on = 2026-12-19T10:00:00
"""
)
RICH_SHOP = (
    SHOP
    + """
[temperature]
day = "20C"
night = "12C"
[rules]
shortest_stretch = "20m"
dust_settles = "45m"
noise = "07:30-19:00"
[[closed]]
from = 2026-12-24
to = 2026-12-26
[[open]]
on = 2026-12-19
hours = ["09:00-15:00"]
[[people]]
id = "ada"
also = [{ rule = "FREQ=WEEKLY;BYDAY=WE", from = 2026-11-25, hours = ["15:00-17:00"] }]
"""
)
MATERIALS = '[yellow-pva]\nopen_time = "8m"\nwaits = [{ name = "in clamps", takes = "1h", keeps = "all" }]\n'


@pytest.mark.parametrize(
    ("content", "line", "wrong"),
    [
        (b"title = \n", 1, "not TOML at column 9: invalid value"),
        (b'title = "a\n', 1, "illegal character"),
        (b'\n\n[[parts]\nid = "x"\n', 3, "not TOML"),
        (b"title = 'a'\ntitle = 'b'\n", 2, "overwrite"),
        (b"title = 'a'\n[[steps]]\nid = ", 3, "not TOML at the end"),
        (b"title = 'a'\r\nx\r\n", 2, "not TOML"),
        (b"\x7fELF\x02\x01\x01\x00\x00", 1, "it is binary, not text"),
        (b"title = 'x'\n\x00", 2, "it is binary, not text"),
        (b"title = 'x'\nname = '\xe9'\n", 2, "it is not in UTF-8"),
        ("title = 'x'".encode("utf-16"), 1, "binary"),
        (b"x = " + b"[" * 100_000, 1, "too large to read"),
        (b"weight = " + b"9" * 10_000, 1, "too large to read"),
        (b"# " + b"x" * (2 * 1024 * 1024), None, "it is larger than 2 MB"),
    ],
)
def test_unreadable_content_is_a_fault(content: bytes, line: int | None, wrong: str, tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, {"jobs/stool.toml": content})
    assert (fault.file, fault.line) == ("jobs/stool.toml", line)
    assert wrong in fault.wrong
    assert fault.right
    assert str(fault).isprintable()


def test_a_broken_shop_file_does_not_hide_broken_jobs(tmp_path: Path) -> None:
    found = faults(tmp_path, {"shop.toml": "name = ", "jobs/a.toml": "weight = 0\n", "jobs/b.toml": STOOL})
    assert [(f.file, f.line) for f in found] == [("shop.toml", 1), ("jobs/a.toml", 1)]


def test_a_folder_in_place_of_a_file_is_a_fault(tmp_path: Path) -> None:
    lay(tmp_path, {})
    (tmp_path / "jobs" / "x.toml").mkdir(parents=True)
    (fault,) = faults(tmp_path, {})
    assert (fault.file, fault.wrong) == ("jobs/x.toml", "it is a folder")


def test_a_file_in_place_of_the_jobs_folder_is_a_fault(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, {"jobs": "x"})
    assert (fault.file, fault.wrong) == ("jobs", "it is a file")


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    (lay(tmp_path, {}) / "jobs").mkdir()
    os.mkfifo(tmp_path / "jobs" / "x.toml")
    (fault,) = faults(tmp_path, {})
    assert fault.wrong == "it is not a plain file"


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("password\n")
    (lay(tmp_path / "shop", {}) / "jobs").mkdir()
    (tmp_path / "shop" / "jobs" / "x.toml").symlink_to(tmp_path / "secret")
    (fault,) = faults(tmp_path / "shop", {})
    assert fault.wrong == "it is a link out of the shop folder"
    assert "password" not in str(fault)


def test_nothing_is_written_elsewhere_through_a_link(tmp_path: Path) -> None:
    """Neither into a file that a link names, nor a new one where a link or a linked folder leads."""
    lay(tmp_path / "shop", {"jobs/desk.toml": STOOL})
    elsewhere = lay(tmp_path / "elsewhere", {"desk.toml": STOOL})
    jobs, before = tmp_path / "shop" / "jobs", sorted(elsewhere.iterdir())
    (jobs / "x.toml").symlink_to(elsewhere / "desk.toml")
    (jobs / "y.toml").symlink_to(elsewhere / "new.toml")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "jobs").symlink_to(elsewhere)
    job = Job(steps=(Step(id="saw", hands_on=60),))
    for write in (
        lambda: set_job_fields(jobs / "x.toml", {"weight": 3}),
        lambda: write_job(jobs / "y.toml", job),
        lambda: write_job(tmp_path / "other" / "jobs" / "z.toml", job),
    ):
        with pytest.raises(ShopFaults, match="it is a link out of the shop folder"):
            write()
    assert sorted(elsewhere.iterdir()) == before
    assert (elsewhere / "desk.toml").read_text() == STOOL


def test_a_dangling_link_is_a_fault(tmp_path: Path) -> None:
    (lay(tmp_path, {}) / "jobs").mkdir()
    (tmp_path / "jobs" / "x.toml").symlink_to(tmp_path / "gone")
    (fault,) = faults(tmp_path, {})
    assert fault.wrong == "there is no such file"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_permission_is_a_fault(tmp_path: Path) -> None:
    lay(tmp_path, {"jobs/x.toml": STOOL})
    (tmp_path / "jobs" / "x.toml").chmod(0)
    (fault,) = faults(tmp_path, {})
    assert fault.wrong == "you may not read it"


def test_unfinished_files_of_editors_are_neither_jobs_nor_recipes(tmp_path: Path) -> None:
    lay(tmp_path, {"jobs/.#desk.toml": "x", "jobs/.desk.toml.swp": b"\0", "jobs/desk.toml~": "x"})
    lay(tmp_path, {"recipes/.#own.toml": "x"})
    assert read_folder(tmp_path).jobs == {}
    assert set(recipes(tmp_path)) == set(recipes())


@pytest.mark.parametrize("name", ["a\x1b[31m", "a\nb", "a\u202eb"])
def test_control_characters_are_made_visible(name: str, tmp_path: Path) -> None:
    quoted = name.encode("unicode_escape").decode().replace("\\x1b", "\\u001b")
    text = f'"{quoted}" = 1\nstatus = "{quoted}"\n[[steps]]\nid = "{quoted}"\nhands_on = "{quoted}"\nafter = ["{quoted}"]\n'
    found = faults(tmp_path, {"jobs/a.toml": text, f"jobs/{name}.toml": "weight = 0\n"})
    assert len(found) >= 5
    for fault in found:
        assert str(fault).isprintable()


@pytest.mark.slow
def test_thousands_of_faults_are_reported_in_bounded_time(tmp_path: Path) -> None:
    steps = "".join(
        f'[[steps]]\nid = "s{i}"\nhands_on = {i}\nafter = ["t{i}"]\nstations = ["b{i}"]\n'
        for i in range(2000)
    )
    assert len(faults(tmp_path, {"jobs/a.toml": steps})) > 5000


def test_more_work_than_can_be_planned_is_refused(tmp_path: Path) -> None:
    steps = "".join(f'[[steps]]\nid = "s{i}"\nhands_on = "1h"\npasses = 100\n' for i in range(201))
    (fault,) = faults(tmp_path, {"jobs/a.toml": steps, "jobs/b.toml": STOOL})
    assert (fault.file, fault.line) == ("jobs/a.toml", 1)
    assert "20106 passes" in fault.wrong
    lay(tmp_path, {"jobs/a.toml": 'status = "shelved"\n' + steps})
    assert read_folder(tmp_path).jobs


def mutations(text: str) -> st.SearchStrategy[bytes]:
    """The text with pieces taken out, doubled, swapped or replaced by junk."""
    junk = st.sampled_from(
        [
            b"",
            b'"',
            b"[",
            b"]]",
            b"{",
            b"=",
            b"\n",
            b"#",
            b"\0",
            b"\xff",
            b"-",
            b"1",
            b"'''",
            b"\r",
            b"\x1b",
            b"99999999999",
            b"true",
            b"2026-13-01",
        ]
    )
    edit = st.tuples(st.integers(0, len(text)), st.integers(0, 30), junk)

    def apply(edits: list[tuple[int, int, bytes]]) -> bytes:
        raw = text.encode()
        for at, length, new in edits:
            raw = raw[:at] + new + raw[at + length :]
        return raw

    return st.lists(edit, min_size=1, max_size=5).map(apply)


def swapped(text: str) -> st.SearchStrategy[bytes]:
    """The text with values of its lines exchanged: right TOML, wrong meaning."""
    lines = text.split("\n")
    pairs = [i for i, line in enumerate(lines) if " = " in line]

    def apply(swaps: list[tuple[int, int]]) -> bytes:
        changed = list(lines)
        for a, b in swaps:
            key, value = lines[a].split(" = ", 1)[0], lines[b].split(" = ", 1)[1]
            changed[a] = f"{key} = {value}"
        return "\n".join(changed).encode()

    return st.lists(st.tuples(st.sampled_from(pairs), st.sampled_from(pairs)), min_size=1, max_size=4).map(
        apply
    )


STRANGE: list[Any] = [
    *(0, -1, 2, 10**9, 2**63 - 1, 10**30, 0.5, 1e308, math.nan, math.inf, True, False),
    *("", " ", "x", "\x1b[31m", "a\nb", "\u202e", "é" * 300, "x" * 5000, "1h", "0m", "10000h", "999999999d", "-5m"),
    *("5 workdays", "100000 workdays", "-300C", "nanC", "00:00-24:00", "24:00-00:00", "0:0", "all", "hands-off", "bench"),
    *("FREQ=SECONDLY", "FREQ=YEARLY;COUNT=99999999", "FREQ=MINUTELY;UNTIL=99991231T000000Z", "stool/seat/glue", "coat"),
    *("../x", "/etc/passwd", "Asia/Kathmandu", "../../etc/passwd", "localtime", "Antarctica/Troll", "hardwax-oil"),
    *(dt.date(1, 1, 1), dt.date(9999, 12, 31), dt.datetime(9999, 12, 31, 23, 59), dt.time(23, 59, 59, 999999)),
    dt.datetime(2026, 12, 3, tzinfo=dt.timezone(dt.timedelta(hours=14))),
    *([], [[]], [1, 2], ["a", 1, {"x": []}], ["3h", "1h"], ["bench"] * 50, {}, {"a": {"b": {"c": 1}}}, {"": 1}),
    *({"step": "glue"}, {"long-clamps": 10**9}, {"takes": "500d", "name": "w"}, {"on": dt.date(9999, 12, 31)}),
]  # fmt: skip
"""Values of every kind, among them some that are right somewhere."""
NAMES = ["zzz", "id", "", "a\x1b[1m", "hands_on", "after", "é", "steps", "parts", "if"]


def restructured(text: str) -> st.SearchStrategy[bytes]:
    """The text as TOML with values of other kinds, fields taken out, doubled, renamed or nested; and in
    other encodings."""
    edit = st.tuples(
        st.sampled_from(("set", "take out", "copy", "add", "repeat", "nest", "rename")),
        st.integers(0, 10_000),
        st.integers(0, 10_000),
        st.sampled_from(STRANGE),
        st.sampled_from(NAMES),
    )

    def apply(edits: list[tuple[str, int, int, Any, str]]) -> str:
        data = tomllib.loads(text)
        for change in edits:
            if places := list(_places(data)):
                _change(places, *change)
        return tomlkit.dumps(data)

    encoded = st.sampled_from((
        str.encode, str.encode, str.encode,
        lambda t: b"\xef\xbb\xbf" + t.encode(),
        lambda t: t.replace("\n", "\r\n").encode(),
        lambda t: t.encode("utf-16"),
        lambda t: t.encode("latin-1", "replace"),
    ))  # fmt: skip
    return st.builds(
        lambda encode, edits: encode(apply(edits)), encoded, st.lists(edit, min_size=1, max_size=4)
    )


def _places(data: Any) -> Iterator[tuple[Any, Any]]:
    """Every (holder, key) below a value."""
    keys = list(data) if isinstance(data, dict) else range(len(data)) if isinstance(data, list) else ()
    for key in keys:
        yield data, key
        yield from _places(data[key])


def _change(places: list[tuple[Any, Any]], how: str, at: int, other: int, value: Any, name: str) -> None:
    holder, key = places[at % len(places)]
    value = copy.deepcopy(value)
    if how == "take out":
        del holder[key]
    elif how == "copy":
        source, which = places[other % len(places)]
        holder[key] = copy.deepcopy(source[which])
    elif how == "repeat" and isinstance(holder, list):
        holder.extend(copy.deepcopy([holder[key]] * (1 + other % 60)))
    elif how == "nest":
        for _ in range(other % 200):
            value = [value] if at % 2 else {"a": value}
        holder[key] = value
    elif isinstance(holder, dict) and how in ("add", "rename"):
        holder[name] = holder.pop(key) if how == "rename" else value
    else:
        holder[key] = value


FILES = {
    "shop.toml": RICH_SHOP,
    "jobs/stool.toml": RICH,
    "materials.toml": MATERIALS,
    "recipes/own.toml": builtin_texts()["resin-top"],
}
EXAMPLES = int(os.environ.get("SHOPDAY_FUZZ", "60"))
"""A long run by hand: SHOPDAY_FUZZ=10000 python -m pytest tests/shop/test_hostile_files.py"""


@pytest.mark.slow
@pytest.mark.timeout(0 if EXAMPLES > 200 else 240)
@pytest.mark.parametrize("name", FILES)
@given(data=st.data())
@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_damaged_files_give_faults_with_file_and_line(name: str, data: st.DataObject) -> None:
    text = FILES[name]
    content = data.draw(st.one_of(mutations(text), swapped(text), restructured(text)))
    with TemporaryDirectory() as folder:
        lay(Path(folder), {**FILES, name: content})
        found: tuple[Fault, ...] = ()
        try:
            shop = read_folder(Path(folder))
            found = tuple(fault for of_job in shop.faulty.values() for fault in of_job)
            assert bool(found) == ("stool" not in shop.jobs)
            if name.startswith("recipes/"):
                found = recipe_faults(shop.path, shop.shop, shop.materials)
        except ShopFaults as error:
            found = error.faults
    lines = {**FILES, name: content.decode("latin-1")}
    for fault in found:
        assert fault.file in FILES
        assert fault.line is None or 1 <= fault.line <= lines[fault.file].count("\n") + 1
        assert fault.line is not None or "too large" in fault.wrong
        assert str(fault).isprintable()


def test_the_undamaged_files_are_good(tmp_path: Path) -> None:
    assert read_folder(lay(tmp_path, dict(FILES))).jobs
