"""One small change at a time to the source of a module: what a slip of the author's might have been.

Comparisons, connectives, signs, whole numbers, truth values and members of enumerations are replaced, `not` is
removed, conditions are forced and statements dropped. Assertions, annotations and declarations of fields stay.
"""

import ast
from collections import Counter
from collections.abc import Iterator
from copy import copy
from enum import EnumMeta
from importlib.util import find_spec
from pathlib import Path
from types import CodeType
from typing import Any

from attrs import frozen

from standfast.machine.parts import Deed, Gauge, Location, Phase
from standfast.model.rules import Effect, FigureKind
from standfast.model.standard import Kind
from standfast.quantity import Comparison
from standfast.verdict import Ending, Outcome, ReasonKind, RemarkKind

_ENUMS: tuple[EnumMeta, ...] = (
    Comparison, Deed, Effect, Ending, FigureKind, Gauge, Kind, Location, Outcome, Phase, ReasonKind, RemarkKind,
)  # fmt: skip
_MEMBERS = {enum.__name__: list(enum.__members__) for enum in _ENUMS}
_NEAR: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_OTHER_NAME = {"max": "min", "min": "max", "all": "any", "any": "all", "LIMITS": "FAULTS", "FAULTS": "LIMITS"}
_SWAPPED: dict[type[ast.operator], type[ast.operator]] = {ast.Add: ast.Sub, ast.Sub: ast.Add}


@frozen
class Mutant:
    """A change: where, the line as written, and what became of which part of it.

    A change that can be made more than once to lines that read the same ends in its number from the second on.
    """

    module: str
    line: int
    function: str
    source: str
    change: str

    def __str__(self) -> str:
        return f"{self.module}:{self.line} in {self.function}: {self.source}\n        {self.change}"


def mutants(module: str) -> Iterator[tuple[Mutant, CodeType]]:
    """Every mutant of a module with its code, in the order of the source."""
    spec = find_spec(module)
    assert spec is not None and spec.origin is not None
    text = Path(spec.origin).read_text(encoding="utf-8")
    lines = text.splitlines()
    tree = ast.parse(text)
    made: Counter[tuple[str, str, str]] = Counter()
    for site in _sites(tree, ""):
        for change, new in _replacements(site):
            site.put(new)
            code = compile(ast.fix_missing_locations(tree), spec.origin, "exec")
            site.put(site.node)
            line = site.node.lineno
            source = lines[line - 1].strip()
            made[site.function, source, change] += 1
            number = made[site.function, source, change]
            change += f" ({number})" if number > 1 else ""
            yield Mutant(module, line, site.function, source, change), code


Node = ast.stmt | ast.expr


@frozen(eq=False)
class _Site:
    """A node that may be replaced, and where it hangs: in a field of its parent, or in a list there.

    `bound` are the names that statements before it, in the same function, may have given a value.
    """

    node: Node
    function: str
    bound: frozenset[str]
    parent: ast.AST
    field: str
    index: int | None

    def put(self, node: Node) -> None:
        if self.index is None:
            setattr(self.parent, self.field, node)
        else:
            getattr(self.parent, self.field)[self.index] = node


# --- where ---------------------------------------------------------------------------------------------------


def _sites(parent: ast.AST, function: str, bound: frozenset[str] = frozenset()) -> Iterator[_Site]:
    """Every statement and expression below a node that decides something, the outer before the inner."""
    for name, value in list(ast.iter_fields(parent)):
        if (type(parent), name) in _NOT_MEANING:
            continue
        for index, node in enumerate(value) if isinstance(value, list) else ((None, value),):
            if isinstance(node, ast.stmt | ast.expr) and not _declares(parent, node):
                yield _Site(node, function, bound, parent, name, index)
                if isinstance(node, ast.FunctionDef | ast.ClassDef):
                    yield from _sites(node, f"{function}.{node.name}".lstrip("."), frozenset(_arguments(node)))
                else:
                    yield from _sites(node, function, bound)
                bound |= _stored(node)
            elif isinstance(node, ast.AST) and not isinstance(node, ast.stmt | ast.expr):
                yield from _sites(node, function, bound)


def _arguments(node: ast.AST) -> set[str]:
    return {each.arg for each in ast.walk(node) if isinstance(each, ast.arg)}


_NOT_MEANING = {
    (ast.FunctionDef, "decorator_list"),
    (ast.FunctionDef, "returns"),
    (ast.ClassDef, "decorator_list"),
    (ast.ClassDef, "bases"),
    (ast.arg, "annotation"),
    (ast.AnnAssign, "annotation"),
}


def _declares(parent: ast.AST, node: Node) -> bool:
    """Imports, assertions, docstrings and the fields of a class."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.Assert | ast.Raise):
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    return isinstance(parent, ast.ClassDef) and not isinstance(node, ast.FunctionDef)


# --- what ----------------------------------------------------------------------------------------------------


def _replacements(site: _Site) -> Iterator[tuple[str, Node]]:
    """What may stand in its stead, and what that changes."""
    node = site.node
    if isinstance(node, ast.stmt):
        if _may_be_dropped(site):
            yield "dropped", ast.copy_location(ast.Pass(), node)
        if isinstance(node, ast.AugAssign) and type(node.op) in _SWAPPED:
            new = _with(node, op=_SWAPPED[type(node.op)]())
            yield _change(node, new), new
        return
    for new in _other_expressions(node):
        yield _change(node, new), ast.copy_location(copy(new), node)
    if isinstance(node, ast.BoolOp):
        for operand in node.values:
            rest = [other for other in node.values if other is not operand]
            new = copy(rest[0]) if len(rest) == 1 else _with(node, values=rest)
            yield f"without `{ast.unparse(operand)}`", ast.copy_location(new, node)
    if site.field in ("test", "guard", "ifs"):
        for truth in (True, False):
            yield f"`{ast.unparse(node)}` taken as {truth}", ast.copy_location(ast.Constant(truth), node)


def _change(old: Node, new: Node) -> str:
    return f"`{ast.unparse(old)}` to `{ast.unparse(new)}`"


def _other_expressions(node: ast.expr) -> Iterator[ast.expr]:
    match node:
        case ast.Compare(ops=ops):
            for place, op in enumerate(ops):
                for near in _NEAR[type(op)]:
                    yield _with(node, ops=[*ops[:place], near(), *ops[place + 1 :]])
        case ast.BoolOp(op=op):
            yield _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.BinOp(op=op) if type(op) in _SWAPPED:
            yield _with(node, op=_SWAPPED[type(op)]())
        case ast.Constant(value=bool() as truth):
            yield ast.Constant(not truth)
        case ast.Constant(value=int() as number):
            yield ast.Constant(number + 1)
        case ast.Name(id=name) if name in _OTHER_NAME:
            yield _with(node, id=_OTHER_NAME[name])
        case ast.Attribute(value=ast.Name(id=enum), attr=member) if enum in _MEMBERS:
            yield from (_with(node, attr=other) for other in _MEMBERS[enum] if other != member)


def _with(node: ast.AST, **fields: object) -> Any:
    new = copy(node)
    for name, value in fields.items():
        setattr(new, name, value)
    return new


def _may_be_dropped(site: _Site) -> bool:
    """Whether the statement has an effect, and its absence leaves no name unbound."""
    match site.node:
        case ast.Expr() | ast.AugAssign() | ast.Continue() | ast.Break() | ast.Return(value=None):
            return True
        case ast.Assign(targets=[ast.Attribute() | ast.Subscript()]):
            return True
        case ast.Assign(targets=[target]):
            return _stored(target) <= site.bound
    return False


def _stored(node: ast.AST) -> set[str]:
    return {n.id for n in ast.walk(node) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
