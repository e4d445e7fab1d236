"""Names carry the unit of the glossary, and docstrings name the parameters that are there."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from leadfoot.quantities import SUFFIX, glossary

SOURCE = Path(__file__).parents[2] / "src" / "leadfoot"
FILES = sorted(path for path in SOURCE.rglob("*.py") if "migrations" not in path.parts)
UNIT_SUFFIXES = set(SUFFIX.values()) | {"mph", "kmh", "yd", "yards", "deg", "rpm", "in", "mm", "ms"}


def names(tree: ast.AST) -> Iterator[str]:
    """Every parameter, field and keyword argument name in a file."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id
        elif isinstance(node, ast.keyword) and node.arg is not None:
            yield node.arg


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_quantity_with_a_unit_carries_the_one_of_the_glossary(path: Path) -> None:
    for name in names(ast.parse(path.read_text(encoding="utf-8"))):
        key, _, suffix = name.rpartition("_")
        if key in glossary() and suffix in UNIT_SUFFIXES:
            assert name == glossary()[key].suffixed


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_documented_parameters_exist(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            documented = _documented(ast.get_docstring(node) or "", "Parameters")
            given = {argument.arg.strip("*") for argument in _arguments(node)}
            assert documented <= given, f"{path.name}: {node.name}: {documented - given}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_every_file_says_its_idea_first_and_stays_short(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.startswith('"""')
    assert len(text.splitlines()) <= 450


def _arguments(node: ast.FunctionDef | ast.AsyncFunctionDef) -> list[ast.arg]:
    arguments = node.args
    extra = [one for one in (arguments.vararg, arguments.kwarg) if one is not None]
    return [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs, *extra]


def _documented(docstring: str, section: str) -> set[str]:
    """Names in a numpydoc section."""
    found = re.search(
        rf"^{section}\n-+\n(.*?)(?=\n\n\w[\w ]*\n-+\n|\Z)", docstring, re.DOTALL | re.MULTILINE
    )
    if found is None:
        return set()
    heads = re.findall(r"^(\w[\w, *]*)(?: :.*)?$", found[1], re.MULTILINE)
    return {name.strip(" *") for head in heads for name in head.split(",")}
