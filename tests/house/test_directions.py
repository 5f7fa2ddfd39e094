"""Imports and foreign keys point up the route only; read from the syntax trees and the app registry."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
ROUTE = ["intake", "record", "design", "sourcing", "money", "bench", "delivery", "letters", "pages"]
ROOMS = ["__init__", "apps", "models", "queries", "actions", "forms", "views", "urls"]
# The two places where the house names the trade.
HOUSE_MAY_NAME_ROOMS = {"studio/settings.py", "studio/urls.py"}


def sources(folder: str):
    """Every Python file of a folder, without migrations."""
    return sorted(path for path in (ROOT / folder).rglob("*.py") if "migrations" not in path.parts)


def imported(path: Path) -> set[str]:
    """Dotted names that a file imports anywhere in it, functions included."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import hides its direction"
            module = node.module or ""
            names.update(f"{module}.{alias.name}" for alias in node.names)
            names.add(module)
    return names


def room(dotted: str) -> str | None:
    """The room of the trade that a dotted name lies in."""
    parts = dotted.split(".")
    return parts[1] if parts[0] == "commissions" and len(parts) > 1 else None


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_a_room_knows_only_earlier_rooms():
    wrong = []
    for path in sources("commissions"):
        here = short(path).split("/")[1]
        if here not in ROUTE:
            continue
        for name in imported(path):
            there = room(name)
            if there in ROUTE and ROUTE.index(there) > ROUTE.index(here):
                wrong.append(f"{short(path)} imports {name}")
    assert wrong == []


def test_the_house_knows_no_ring():
    wrong = [
        f"{short(path)} imports {name}"
        for path in sources("studio")
        if short(path) not in HOUSE_MAY_NAME_ROOMS
        for name in imported(path)
        if name.split(".")[0] in ("commissions", "gemcalc")
    ]
    assert wrong == []


def test_the_house_does_not_name_the_trade_in_words_either():
    wrong = [
        short(path)
        for path in sources("studio")
        if short(path) not in HOUSE_MAY_NAME_ROOMS
        and any(
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and node.value.startswith("commissions.")
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        )
    ]
    assert wrong == []


def test_the_figures_are_pure():
    wrong = [
        f"{short(path)} imports {name}"
        for path in sources("gemcalc")
        if "web" not in path.relative_to(ROOT).parts
        for name in imported(path)
        if name.split(".")[0] in ("django", "studio", "commissions") or name.startswith("gemcalc.web")
    ]
    assert wrong == []


def test_the_web_face_of_the_figures_knows_no_room():
    wrong = [
        f"{short(path)} imports {name}"
        for path in sources("gemcalc/web")
        for name in imported(path)
        if name.split(".")[0] == "commissions"
    ]
    assert wrong == []


def test_foreign_keys_point_up_the_route():
    wrong = []
    for model in apps.get_models():
        here = room(model.__module__)
        for field in model._meta.get_fields():
            if not (field.is_relation and field.concrete and field.related_model):
                continue
            there = room(field.related_model.__module__)
            if here is None and there is not None:
                wrong.append(f"{model.__name__}.{field.name} points into {there}")
            elif here in ROUTE and there in ROUTE and ROUTE.index(there) > ROUTE.index(here):
                wrong.append(f"{model.__name__}.{field.name} points down the route to {there}")
    assert wrong == []


@pytest.mark.parametrize("name", ROUTE)
def test_every_room_is_installed(name):
    assert apps.get_app_config(name).name == f"commissions.{name}"


def test_no_signals_and_no_work_in_save():
    wrong = []
    for path in [*sources("commissions"), *sources("studio")]:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if any(name.startswith("django.db.models.signals") for name in imported(path)):
            wrong.append(f"{short(path)} listens to a signal")
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                wrong += [
                    f"{short(path)}: {node.name}.save"
                    for child in node.body
                    if isinstance(child, ast.FunctionDef) and child.name == "save" and "models" in path.name
                ]
    assert wrong == []


def test_only_the_record_writes_a_stage():
    """Outside record.actions nobody updates or saves a commission's stage."""
    wrong = []
    for path in sources("commissions"):
        if short(path).startswith("commissions/record/actions"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == "update"
            ):
                value = ast.unparse(node.func.value)
                if value.startswith("Commission.") and any(
                    key.arg in ("stage", "turn") for key in node.keywords
                ):
                    wrong.append(f"{short(path)}:{node.lineno}")
    assert wrong == []


def test_no_file_has_grown_fat():
    fat = {
        short(path): lines
        for folder in ("studio", "commissions", "gemcalc")
        for path in sources(folder)
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 350
    }
    assert fat == {}
