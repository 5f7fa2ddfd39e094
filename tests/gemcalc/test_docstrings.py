"""
Signature, Args and Raises agree for every public function of the figures.

Public is what is offered: a function of keyword arguments only, or one that its package lists in ``__all__``.
An inner function takes its arguments by position and may make do with one line;
where it has Args they must agree too.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import gemcalc

PACKAGE = Path(gemcalc.__file__).parent
SECTIONS = ("Args", "Returns", "Raises", "Source", "Where we depart from the source")


def all_functions() -> list[tuple[str, ast.FunctionDef, bool]]:
    """Every function without an underscore: its place, its tree, whether it is public."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        place = path.relative_to(PACKAGE)
        if "web" in place.parts:
            continue
        listed = names_listed(path.parent / "__init__.py") | names_listed(path)
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                spec = node.args
                keyword_only = not (spec.args or spec.posonlyargs or spec.vararg)
                public = keyword_only or node.name in listed
                found.append((f"{place.with_suffix('')}:{node.name}", node, public))
    return found


def names_listed(path: Path) -> set[str]:
    """What a module lists in `__all__`."""
    for node in ast.parse(path.read_text("utf-8")).body if path.exists() else ():
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
            return set(ast.literal_eval(node.value))
    return set()


FUNCTIONS = all_functions()


def section(docstring: str, name: str) -> str | None:
    """Text of one section of a docstring whose indentation was cleaned, or None."""
    found = re.search(rf"^{name}:\n((?:(?: +[^\n]*)?\n?)*)", docstring, re.MULTILINE)
    return found[1] if found else None


def names_in_args(docstring: str) -> list[str]:
    text = section(docstring, "Args")
    lines = re.findall(r"^ {4}(\*{0,2}\w+(?:, \*{0,2}\w+)*):", text, re.MULTILINE) if text else []
    return [name.strip(" *") for line in lines for name in line.split(",")]


def parameters(node: ast.FunctionDef) -> list[str]:
    spec = node.args
    rows = [*spec.posonlyargs, *spec.args, *spec.kwonlyargs]
    rows += [one for one in (spec.vararg, spec.kwarg) if one is not None]
    return [row.arg for row in rows]


def can_refuse(node: ast.FunctionDef) -> bool:
    for part in ast.walk(node):
        if isinstance(part, ast.Raise):
            return True
        if isinstance(part, ast.Call) and isinstance(part.func, ast.Name) and part.func.id == "in_range":
            return True
    return False


@pytest.mark.parametrize(
    ("node", "public"), [pytest.param(node, public, id=name) for name, node, public in FUNCTIONS]
)
def test_docstring_agrees_with_the_function(node: ast.FunctionDef, public: bool) -> None:
    docstring = ast.get_docstring(node)
    assert docstring, "has no docstring"
    if public or names_in_args(docstring):
        assert sorted(names_in_args(docstring)) == sorted(parameters(node)), "Args differ from the parameters"
        assert section(docstring, "Raises") or not can_refuse(node), "refuses input without a Raises section"


def test_there_is_something_to_check() -> None:
    assert sum(public for _, _, public in FUNCTIONS) > 60


def test_the_check_sees_a_missing_name_and_a_missing_raises() -> None:
    source = '''
def figure(*, width_mm, depth_mm):
    """
    One line.

    Args:
        width_mm: Width, mm.
            More of it.
        other_mm: Not a parameter.
    """
    raise ValueError
'''
    node = ast.parse(source).body[0]
    assert isinstance(node, ast.FunctionDef)
    docstring = ast.get_docstring(node)
    assert docstring is not None
    assert names_in_args(docstring) == ["width_mm", "other_mm"]
    assert parameters(node) == ["width_mm", "depth_mm"]
    assert can_refuse(node)
    assert section(docstring, "Raises") is None
