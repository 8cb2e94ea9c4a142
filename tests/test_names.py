"""Every name has one meaning: no module's, and no public class's or function's, is there twice."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "shopday"

GUIDE = (PACKAGE.parent / "DEVELOPERS.md").read_text("utf-8")

MODULES = sorted(path for path in PACKAGE.rglob("*.py") if not path.name.startswith("__"))


def public_names(tree: ast.Module) -> Iterator[str]:
    """Classes and functions at the top of a module, and types that have a name of their own."""
    for node in tree.body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name
        elif isinstance(node, ast.Assign) and isinstance(node.value, ast.Subscript):
            yield from (t.id for t in node.targets if isinstance(t, ast.Name) and not t.id.isupper())


def twice(names: Iterator[str]) -> list[str]:
    return sorted(name for name, count in Counter(names).items() if count > 1 and not name.startswith("_"))


def test_no_module_name_is_used_twice() -> None:
    assert twice(path.stem for path in MODULES) == []


def test_no_public_name_has_two_meanings() -> None:
    trees = (ast.parse(path.read_text("utf-8")) for path in MODULES)
    assert twice(name for tree in trees for name in set(public_names(tree))) == []


def test_the_check_of_names_finds_duplicates() -> None:
    tree = ast.parse(
        "class A: ...\ndef b(): ...\nSpan = tuple[int, int]\nD = {}\nE = D['x']\ndef _f(): ...\n"
    )
    assert list(public_names(tree)) == ["A", "b", "Span", "_f"]


def test_the_guide_names_only_existing_files() -> None:
    there = [str(path.relative_to(PACKAGE.parent)) for path in PACKAGE.parent.glob("[!.]*/**/*.py")]
    named = re.findall(r"`([\w/]+\.py)`", GUIDE)
    assert [name for name in named if not any(f"/{path}".endswith(f"/{name}") for path in there)] == []
