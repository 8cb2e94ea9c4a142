"""Others at the same files: the editor, a command logging meanwhile, recipes written while a job is being planned."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text, toasts, told_wrong
from app_shop import NOW, OpenApp
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.planning.open_shop import OpenShop
from shopday.shop.recipes.recipe_library import builtin_texts

pytestmark = pytest.mark.slow

LECTERN = "pear-lectern"


@pytest.fixture
def editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A tiny editor: a script that does to the file what the test puts in it. No terminal stands aside here."""
    script = tmp_path / "editor.sh"
    monkeypatch.setenv("VISUAL", f"sh {script}")

    @contextlib.contextmanager
    def aside(app: ShopdayApp) -> Iterator[None]:
        yield

    monkeypatch.setattr(ShopdayApp, "suspend", aside)
    return script


async def test_a_change_in_the_editor_reaches_the_app(open_app: OpenApp, shop: Path, editor: Path) -> None:
    editor.write_text('sed -i.bak \'s/^title *= .*/title = "Lectern of [pear]"/\' "$1"\n')
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        assert app.screen.chosen_job() == LECTERN
        await pilot.press("e")
        await pilot.pause()
        assert "Lectern of [pea" in rows_text(app, "#jobs")
        assert "files changed" in news(app)


async def test_a_fault_made_in_the_editor_is_reported_by_file_and_line_and_loses_nothing(
    open_app: OpenApp, shop: Path, editor: Path
) -> None:
    path = shop / "jobs" / f"{LECTERN}.toml"
    editor.write_text('sed -i.bak \'s/^promise *= .*/promise = "soon"/\' "$1"\n')
    line = next(n for n, text in enumerate(path.read_text().splitlines(), 1) if text.startswith("promise"))
    app = open_app()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.open_editor(path)
        await pilot.pause()
        assert f"jobs/{LECTERN}.toml:{line}" in news(app)
        assert 'promise = "soon"' in path.read_text()
        assert "Pear lectern" in rows_text(app, "#day")
        editor.write_text('mv "$1.bak" "$1"\n')
        app.session.job_actions.open_editor(path)
        await pilot.pause()
        assert news(app) == ""  # the very file that was read before


@pytest.mark.parametrize(
    ("file", "form", "blank", "typed"),
    [
        (f"jobs/{LECTERN}.toml", "step", "b-hands_on", "7h"),
        (f"jobs/{LECTERN}.toml", "job", "b-title", "My own title"),
        ("shop.toml", "shop", "b-name", "My own name"),
    ],
)
async def test_a_form_does_not_overwrite_a_change_made_by_hand_meanwhile(
    open_app: OpenApp, shop: Path, file: str, form: str, blank: str, typed: str
) -> None:
    path = shop / file
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("5")
        await pilot.pause()
        if form == "step":
            app.session.step_actions.change(
                next(s for s in app.session.state.plan.steps if s.job == LECTERN and s.state == "planned")
            )
        elif form == "job":
            app.session.job_actions.change(LECTERN)
        else:
            app.screen.action_change()
        await pilot.pause()
        app.screen.query_one(f"#{blank}", Input).value = typed
        by_hand = path.read_text() + "\n# a line of my own\n"
        path.write_text(by_hand)
        app.session.check_files()
        for _ in range(2):
            await pilot.press("enter")
            await pilot.pause()
            assert f"{path.name} was changed by somebody else meanwhile" in told_wrong(app)
            assert app.screen.query_one(f"#{blank}", Input).value == typed
            assert path.read_text() == by_hand
        await pilot.press("escape")
        await pilot.pause()
        assert path.read_text() == by_hand


async def test_a_form_opened_after_an_edit_by_hand_shows_it_and_is_kept(
    open_app: OpenApp, shop: Path
) -> None:
    path = shop / "shop.toml"
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("5")
        await pilot.pause()
        name = app.session.state.open_shop.folder.shop.name
        path.write_text(path.read_text().replace(f'"{name}"', '"By hand"'))
        await pilot.press("d")
        await pilot.pause()
        assert app.screen.query_one("#b-name", Input).value == "By hand"
        app.screen.query_one("#b-name", Input).value = "By the form"
        await pilot.press("enter")
        await pilot.pause()
        assert 'By the form"' in path.read_text()


async def test_a_missing_editor_is_reported(
    open_app: OpenApp, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VISUAL", "no-such-editor-anywhere")
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.open_editor(shop / "shop.toml")
        await pilot.pause()
        assert toasts(app)


async def test_undoing_another_pass_keeps_what_a_command_logged_meanwhile(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        pour = next(
            s for s in app.session.state.plan.steps if s.name == "Pour the hollows" and s.state == "waiting"
        )
        app.session.step_actions.do("again", pour)
        await pilot.pause()
        OpenShop(shop, NOW).log("finish", f"{LECTERN}/stand/joints")
        await pilot.press("u")
        await pilot.pause()
        assert f"Undone: one more pass of {pour.name}" in news(app)
        kinds = [(fact.kind, fact.address) for fact in app.session.state.open_shop.journal.facts()]
        assert ("finish", f"{LECTERN}/stand/joints") in kinds
        assert "again" not in [kind for kind, _ in kinds]


async def test_a_fact_undone_by_somebody_else_is_reported_once(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("f")
        await pilot.pause()
        OpenShop(shop, NOW).undo()
        await pilot.press("u")
        await pilot.pause()
        assert "was undone already" in toasts(app)[-1]
        assert not app.session.state.changes.done


async def test_a_recipe_edited_meanwhile_reaches_the_part_and_keeps_what_was_typed(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "escape", "A", "enter")
        (part,) = app.screen.form.parts
        number = next(p for p in part.recipe.parameters if p.kind == "number")
        app.screen.query_one(f"#p-{number.id}", Input).value = "7"
        await pilot.pause()
        path = shop / "recipes" / f"{part.recipe.id}.toml"
        path.parent.mkdir(exist_ok=True)
        text = path.read_text() if path.exists() else builtin_texts()[part.recipe.id]
        path.write_text(text.replace(part.recipe.name, f"{part.recipe.name} [mine]"))
        app.session.check_files()
        await pilot.pause()
        assert "[mine]" in read(app, ".part-name")
        assert app.screen.query_one(f"#p-{number.id}", Input).value == "7"
        await pilot.press("escape", "A")
        await pilot.pause()
        assert "[mine]" in rows_text(app, "#found")


async def test_a_faulty_recipe_is_reported_and_the_form_stays(open_app: OpenApp, shop: Path) -> None:
    (shop / "recipes").mkdir(exist_ok=True)
    name = next(iter(builtin_texts()))
    (shop / "recipes" / f"{name}.toml").write_text("name = ")
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "escape", "A")
        assert f"recipes/{name}.toml" in toasts(app)[-1]
        assert app.screen.query("#add")
