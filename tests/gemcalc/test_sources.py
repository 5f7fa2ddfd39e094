"""The registry of sources: every key that is used exists, every key that exists is used."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import gemcalc
from gemcalc.checks import checks, limits
from gemcalc.sources import SOURCES

PACKAGE = Path(gemcalc.__file__).parent
REGISTRY = {"sources.py", "source_row.py"} | {path.name for path in PACKAGE.glob("sources_*.py")}
SECTION = re.compile(
    r"^ *Source:[ \t]*(?P<same>[^\n]*)\n?(?P<below>(?:(?: {4,}|\t)[^\n>]+\n)*)", re.MULTILINE
)
INLINE = re.compile(r"(?<!\n)Source: (?P<keys>[a-z0-9, -]+)")
WORDS_FOR_THE_FIELD = {"source", "sources"}


def modules() -> list[Path]:
    return [
        path
        for path in sorted(PACKAGE.rglob("*.py"))
        if "web" not in path.relative_to(PACKAGE).parts and path.name not in REGISTRY
    ]


def docstrings(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Expr)
            and isinstance(node.value, ast.Constant)
            and isinstance(node.value.value, str)
        ):
            yield node.value.value


def keys_in(text: str) -> set[str]:
    """Keys between commas and line ends; a remark in brackets after a key is the author's own."""
    text = re.sub(r"\([^)]*\)", "", text)
    return {key.strip(" .") for key in re.split(r"[,\n]", text) if key.strip(" .")}


def keys_of_docstring(text: str) -> set[str]:
    found: set[str] = set()
    for section in SECTION.finditer(text):
        below = section["below"]
        found |= keys_in(section["same"]) if section["same"].strip() else keys_in(below)
    for inline in INLINE.finditer(text):
        found |= keys_in(inline["keys"])
    return found


def keys_of_rows(tree: ast.Module) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.keyword) and node.arg in WORDS_FOR_THE_FIELD:
            leaves = node.value.elts if isinstance(node.value, ast.Tuple | ast.List) else [node.value]
            found |= {
                leaf.value
                for leaf in leaves
                if isinstance(leaf, ast.Constant) and isinstance(leaf.value, str)
            }
    return found


def test_every_key_named_in_a_docstring_or_a_row_is_registered() -> None:
    unknown = {}
    for path in modules():
        tree = ast.parse(path.read_text("utf-8"))
        named = keys_of_rows(tree)
        for text in docstrings(tree):
            named |= keys_of_docstring(text)
        if missing := named - set(SOURCES):
            unknown[str(path.relative_to(PACKAGE))] = sorted(missing)
    assert unknown == {}


def test_every_registered_key_is_used() -> None:
    used = {row.source for row in (*checks(), *limits())}
    for path in modules():
        tree = ast.parse(path.read_text("utf-8"))
        for text in docstrings(tree):
            used |= keys_of_docstring(text)
        used |= {
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        } & set(SOURCES)
    assert set(SOURCES) - used == set()


def test_keys_are_short_words_and_citations_say_something() -> None:
    for key, source in SOURCES.items():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key), key
        assert source.key == key
        assert len(source.citation) > 20, key


def test_no_key_is_registered_twice() -> None:
    """A dictionary would swallow the second one silently."""
    named = []
    for path in (PACKAGE / name for name in REGISTRY):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "key" and isinstance(node.value, ast.Constant):
                named.append(node.value.value)
    assert len(named) == len(set(named))
    assert len(named) == len(SOURCES)


def test_the_reader_of_docstrings_sees_sections_and_inline_keys() -> None:
    section = "Text.\n\n    Source:\n        one-key, other\n        third\n\n    >>> x\n"
    assert keys_of_docstring(section) == {"one-key", "other", "third"}
    assert keys_of_docstring("Mass, g. Source: one-key, other.") == {"one-key", "other"}
