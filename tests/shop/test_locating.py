"""Lines of values, also where the text plays tricks."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.shop.loading.toml_positions import Path, TomlPositions, TomlScan

TRICKS = '''\
# [not] = "this"
a = 1 # "nor this
b."c d" = """
x = 1
[no]
\\""" ok"""
l = [1, # ]
  2,
  { x = 1, y = [3,
   4] }, # }
]
d = 2026-12-19T10:00:00
q = 'C:\\' # '

[[p]]
id="q"
  [[p.s]]
  [[p.s]]
  z = \'\'\'
[[p.s]]
a\'\'\'\'\'
  [p.s.t]
  u = 1
[[p]]
[[p.s]]
"é\\u0041" = [[1],[
2]]
'''


def written(text: str) -> TomlPositions:
    return TomlPositions("f.toml", text, tomllib.loads(text))


def test_keys_tables_and_items_have_their_lines() -> None:
    file = written(TRICKS)
    lines: dict[Path, int] = {
        ("a",): 2,
        ("b", "c d"): 3,
        ("l", 0): 7,
        ("l", 1): 8,
        ("l", 2, "y", 1): 10,
        ("d",): 12,
        ("p", 0): 15,
        ("p", 0, "s", 1): 18,
        ("p", 0, "s", 1, "z"): 19,
        ("p", 0, "s", 1, "t", "u"): 23,
        ("p", 1, "s", 0, "éA", 1, 0): 27,
    }
    assert {path: file.line(path) for path in lines} == lines


def test_a_missing_value_has_the_line_of_its_surroundings() -> None:
    file = written(TRICKS)
    assert file.line(("p", 0, "s", 1, "hands_on")) == 18
    assert file.line(("nowhere", 3)) == 1


def test_the_text_of_each_value_is_found() -> None:
    scan = TomlScan(TRICKS)
    for path, (start, end) in scan.values.items():
        value = tomllib.loads(TRICKS)
        for key in path:
            value = value[key]  # type: ignore[index]
        assert tomllib.loads("v = " + TRICKS[start:end])["v"] == value


NAMES = st.one_of(st.sampled_from(["a", "b-1", "x_y"]), st.text(max_size=6))
VALUES = st.recursive(
    st.one_of(st.integers(), st.booleans(), st.text(max_size=12), st.dates()),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAMES, inner, max_size=3)),
    max_leaves=12,
)


@pytest.mark.slow
@given(st.dictionaries(NAMES, VALUES, max_size=4))
def test_every_value_of_any_file_is_found(data: dict[str, Any]) -> None:
    import tomlkit

    text = tomlkit.dumps(data)
    assert set(_paths(tomllib.loads(text))) - {()} <= set(TomlScan(text).places)


def _paths(value: Any, path: Path = ()) -> Iterator[Path]:
    yield path
    for key, item in (
        value.items() if isinstance(value, dict) else enumerate(value if isinstance(value, list) else ())
    ):
        yield from _paths(item, (*path, key))
