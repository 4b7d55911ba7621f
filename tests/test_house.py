"""The house rules that a machine can check, on every module of the package."""

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import frozen

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "engine" / "standfast"
FILES = sorted(PACKAGE.rglob("*.py"))

# What a module needs to look at the world or to hand something to it.
WORLDLY = {
    "io",
    "os",
    "sys",
    "time",
    "random",
    "secrets",
    "uuid",
    "pathlib",
    "subprocess",
    "socket",
    "tempfile",
    "glob",
}
PACKAGES = {"attrs", "filelock", "jinja2", "lark", "markupsafe", "nltk"}
OUTSIDE = {"print", "open", "input", "breakpoint", "float"}


@frozen
class Import:
    """One import: the file's module and what it imports, ours without the package's name (`model.rules`)."""

    module: str
    target: str
    line: int


def module_of(path: Path) -> str:
    """`model.rules`; a package's own file has the package's name, the topmost `__init__`."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" and len(parts) > 1 else parts)


MODULES = {module_of(path) for path in FILES}


def imports(module: str, tree: ast.Module) -> Iterator[Import]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [f"{'.' * node.level}{node.module or ''}"]
            # `from standfast.codes import log` imports the module, not the package.
            names = [
                whole if is_ours(whole) else names[0] for a in node.names for whole in [f"{names[0]}.{a.name}"]
            ]
        else:
            continue
        for name in names:
            yield Import(module, name.removeprefix("standfast.") if is_ours(name) else name, node.lineno)


def is_ours(name: str) -> bool:
    return name.removeprefix("standfast.") in MODULES and name.startswith("standfast.")


def table() -> dict[str, set[str]]:
    """The table of DEVELOPERS.md: for each layer what it may import."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(
        r"^\|(.+?)\|(.+)\|$", text.split("\n## Who may import whom\n")[1].split("\n## ")[0], re.MULTILINE
    )
    found: dict[str, set[str]] = {}
    for layers, allowed in rows:
        for layer in re.findall(r"`([^`]+)`", layers):
            assert layer not in found, f"two rows for {layer}"
            found[layer] = set(re.findall(r"`([^`]+)`", allowed))
    return found


TABLE = table()


def allowed(each: Import) -> bool:
    target, layer = each.target, each.module.split(".")[0]
    if target == "values":
        return True
    if target in MODULES:
        names = TABLE[layer] | {layer}
        return "standfast" in names or any(target == name or target.startswith(f"{name}.") for name in names)
    if target == "standfast":
        return "standfast" in TABLE[layer]
    top = target.split(".")[0]
    if top in PACKAGES:
        return top in TABLE[layer] and (top != "lark" or each.module == "language.reader")
    return top in sys.stdlib_module_names


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def may_touch_the_world(module: str) -> bool:
    return module.split(".")[0] in ("command", "record", "__main__")


@pytest.mark.parametrize("path", FILES, ids=module_of)
def test_imports_follow_the_table(path: Path) -> None:
    wrong = [each for each in imports(module_of(path), tree_of(path)) if not allowed(each)]
    assert wrong == []


def test_the_table_has_a_row_for_every_layer_and_names_only_what_there_is() -> None:
    assert len(FILES) > 40
    layers = {module.split(".")[0] for module in MODULES}
    to_come = {"difference"}
    assert layers <= set(TABLE) <= layers | to_come
    named = {name for names in TABLE.values() for name in names}
    assert named <= MODULES | to_come | PACKAGES | {"standfast"}


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("definition.judge", "from standfast.machine.step import step"),
        ("definition.judge", "from standfast import replay"),
        ("definition.judge", "import standfast.replay"),
        ("log.bind", "from standfast.model.resolve import resolve"),
        ("log.bind", "from standfast.model import resolve"),
        ("language.printer", "import lark"),
        ("language.printer", "from lark.lexer import Token"),
        ("model.resolve", "from standfast.language.reader import read"),
        ("report.lines", "from standfast.command.line import main"),
        ("quantity", "from standfast.source import Source"),
        ("quantity", "from .source import Source"),
        ("quantity", "import yaml"),
        ("language.printer", "import jinja2"),
        ("command.grade", "import filelock"),
        ("report.lines", "import nltk"),
        ("pipeline", "import standfast"),
        ("source", "from attrs import frozen"),
        ("values.making", "from standfast.source import Span"),
    ],
)
def test_a_forbidden_import_is_seen(module: str, line: str) -> None:
    assert not all(allowed(each) for each in imports(module, ast.parse(f"def later():\n    {line}\n")))


@pytest.mark.parametrize("path", [p for p in FILES if not may_touch_the_world(module_of(p))], ids=module_of)
def test_no_clock_chance_printing_or_float(path: Path) -> None:
    module, tree = module_of(path), tree_of(path)
    worldly = [each for each in imports(module, tree) if each.target.split(".")[0] in WORLDLY]
    called = [n.func.id for n in ast.walk(tree) if isinstance(n, ast.Call) and isinstance(n.func, ast.Name)]
    calls = [name for name in called if name in OUTSIDE]
    floats = [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, float)]
    if any(each.target == "difflib" for each in imports(module, tree)):
        floats = []  # how near a misspelt word must be to be named in a help line
    asked = [ast.unparse(n) for n in ast.walk(tree) if isinstance(n, ast.Attribute)]
    now = [words for words in asked if re.search(r"\b(date|datetime)\.(now|today|utcnow)$", words)]
    assert (worldly, calls, floats, now) == ([], [], [], [])


@pytest.mark.parametrize("path", FILES, ids=module_of)
def test_size_and_names(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 500
    assert not {"utils", "helpers", "base", "manager", "common", "misc"} & set(path.with_suffix("").parts[-3:])


def test_modules_are_loaded_by_name_only_where_a_command_must_start_fast() -> None:
    by_name = {module_of(path) for path in FILES if "import_module" in path.read_text(encoding="utf-8")}
    assert by_name <= {"__init__", "command.verb"}


def test_no_python_among_the_standards() -> None:
    assert list((ROOT / "standards").rglob("*.py")) == []
