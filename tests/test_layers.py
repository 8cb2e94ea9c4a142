"""No package imports what it may not: the table is in DEVELOPERS.md."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from shopday import scheduler

PACKAGE = Path(__file__).parents[1] / "shopday"

MAY_IMPORT = {
    "text": {"text"},
    "shop": {"shop", "text"},
    "journal": {"journal", "text"},
    "scheduler": {"scheduler"},
    "planning": {"planning", "text", "shop", "journal", "scheduler"},
    "export": {"export", "text", "planning", "shop", "journal"},
    "cli": {"cli", "text", "export", "planning", "shop", "journal", "app", "web"},
    "app": {"app", "text", "export", "planning", "shop", "journal"},
    "web": {"web", "shop"},
}


READ_OFF_THE_PLAN = (
    "questions/folder_warnings", "questions/dashboard", "questions/optimality_text", "odds/odds_text",
    "questions/alternatives", "lessons/job_to_recipe", "questions/step_cautions", "questions/purchasing", "questions/material_needs", "questions/batches",
    "encoding/progress", "fact_logging/fact_text", "questions/day", "questions/waiting", "questions/why",
)  # fmt: skip
"""Questions in `planning/`: what they need of the problem stands in the plan, or is asked through the open shop."""

EXACT = "scheduler/exact/"
"""The one place that knows OR-Tools."""

FRONT_DOOR = "shopday/cli/app_commands.py"
"""The one module of the commands that opens the app."""


@cache
def modules(room: str) -> list[tuple[str, ast.AST]]:
    files = sorted((PACKAGE / room).rglob("*.py"))
    return [(str(file.relative_to(PACKAGE.parent)), ast.parse(file.read_text("utf-8"))) for file in files]


def imports(tree: ast.AST) -> Iterator[str]:
    """Full names of everything imported anywhere in a module, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{name.name}" for name in node.names)


def loads(tree: ast.AST) -> Iterator[ast.AST]:
    """The statements of a module, at any depth, but those that only a type checker sees."""
    left = [tree]
    while left:
        for node in ast.iter_child_nodes(left.pop()):
            if isinstance(node, ast.If) and ast.unparse(node.test).endswith("TYPE_CHECKING"):
                continue
            if isinstance(node, ast.stmt | ast.ExceptHandler | ast.match_case):
                yield node
                left.append(node)


def imported_modules() -> dict[str, set[str]]:
    """Per module of shopday, the others that it imports when it runs."""
    trees = {
        ".".join(Path(file).with_suffix("").parts[1:]): tree
        for room in MAY_IMPORT
        for file, tree in modules(room)
    }
    return {
        module: {
            other
            for node in loads(tree)
            if isinstance(node, ast.Import | ast.ImportFrom)
            for name in imports(node)
            for other in (name.removeprefix("shopday."), name.removeprefix("shopday.").rpartition(".")[0])
            if other in trees
        }
        for module, tree in trees.items()
    }


def reached(module: str, graph: dict[str, set[str]]) -> set[str]:
    """What a module imports, and what that imports, and so on."""
    found: set[str] = set()
    left = [module]
    while left:
        new = graph[left.pop()] - found
        found |= new
        left += new
    return found


def knots(graph: dict[str, set[str]]) -> set[frozenset[str]]:
    """Groups of modules that import each other, straight or by others."""
    reach = {module: reached(module, graph) for module in graph}
    return {
        frozenset(other for other in reach[module] if module in reach[other])
        for module in graph
        if module in reach[module]
    }


def test_no_modules_import_each_other() -> None:
    """Not by imports inside functions either."""
    assert knots(imported_modules()) == set()


def test_an_import_circle_of_any_length_is_found() -> None:
    graph = {"a": {"b"}, "b": {"c"}, "c": {"a", "d"}, "d": set(), "e": {"a"}}
    assert knots(graph) == {frozenset("abc")}


def test_every_package_has_its_rule() -> None:
    rooms = {folder.name for folder in PACKAGE.iterdir() if folder.is_dir() and any(folder.glob("*.py"))}
    assert rooms == set(MAY_IMPORT)


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_no_package_imports_one_above_it(room: str) -> None:
    wrong = [
        f"{file} imports {name}"
        for file, tree in modules(room)
        for name in imports(tree)
        if name.startswith("shopday.") and name.split(".")[1] in MAY_IMPORT
        if name.split(".")[1] not in MAY_IMPORT[room]
    ]
    assert wrong == []


def test_the_scheduler_has_one_door() -> None:
    wrong = [
        f"{file} imports {name}"
        for room in MAY_IMPORT
        if room != "scheduler"
        for file, tree in modules(room)
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in (node.module or "" if isinstance(node, ast.ImportFrom) else node.names[0].name,)
        if name.startswith("shopday.scheduler.")
    ]
    assert wrong == []


def test_the_scheduler_exports_all_it_names() -> None:
    assert [name for name in scheduler.__all__ if not hasattr(scheduler, name)] == []


@pytest.mark.parametrize("question", READ_OFF_THE_PLAN)
def test_no_question_reads_the_problem(question: str) -> None:
    tree = ast.parse((PACKAGE / "planning" / f"{question}.py").read_text("utf-8"))
    named = {
        name
        for name in imports(tree)
        if name.startswith(("shopday.scheduler", "shopday.planning.encoding.problem_encoder"))
    }
    used = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert not named
    assert not used & {"problem", "_built_at"}


def test_the_scheduler_uses_the_standard_library_alone() -> None:
    found = {(file, name.split(".")[0]) for file, tree in modules("scheduler") for name in imports(tree)}
    others = {pair for pair in found if pair[1] != "shopday" and pair[1] not in sys.stdlib_module_names}
    assert {pair for pair in others if not (EXACT in pair[0] and pair[1] == "ortools")} == set()


def test_the_exact_engine_is_loaded_in_its_own_process_alone() -> None:
    """It takes most of a second and 120 MB."""
    found = {
        file
        for room in MAY_IMPORT
        for file, tree in modules(room)
        if EXACT not in file and any(name.startswith("shopday.scheduler.exact.") for name in imports(tree))
    }
    assert found == set()


def test_only_one_command_module_and_the_app_import_the_app() -> None:
    found = {
        file
        for room in MAY_IMPORT
        if room != "app"
        for file, tree in modules(room)
        for name in imports(tree)
        if name.split(".")[0] == "textual" or name.startswith("shopday.app")
    }
    assert found <= {FRONT_DOOR}


COMMANDS = ["today", "waiting", "plan", "check", "sheet", "calendar", "csv", "undo"]


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_printing_commands_start_no_textual(command: str, tmp_path: Path) -> None:
    """Importing it would cost them a third of their time."""
    (tmp_path / "shop.toml").write_text('name = "Shop"\ntimezone = "UTC"\n')
    script = (
        "import sys; from shopday.__main__ import main\n"
        f"main(['--shop', {str(tmp_path)!r}, {command!r}])\n"
        "loaded = {name.split('.')[0] for name in sys.modules} & {'textual', 'ortools', 'numpy'}\n"
        "assert not loaded, loaded\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.slow
def test_a_kept_plan_is_shown_without_loading_the_search(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text('name = "Shop"\ntimezone = "UTC"\n')
    script = (
        "import sys; from shopday.__main__ import main\n"
        f"main(['--shop', {str(tmp_path)!r}, 'today'])\n"
        "print(*(name for name in sys.modules if name.startswith('shopday.scheduler.')))\n"
    )
    first, again = (
        subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
        for _ in range(2)
    )
    search = ("thorough_search", "search.annealing", "search.freeing", "search.polish", "infeasible")
    assert "shopday.scheduler.thorough_search" in first
    assert not [name for name in search if f"shopday.scheduler.{name}" in again]
