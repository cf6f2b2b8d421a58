"""The wrong changes that can be made to a Python text: each at one node of its syntax tree."""

from __future__ import annotations

import ast
import marshal
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType

import attrs

COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt), ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
}  # fmt: skip
SUMS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Mod: ast.Mult,
    ast.FloorDiv: ast.Mult, ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
Swap = Callable[[], ast.AST | None]
"""Makes the change in place; or returns what stands in the node's place."""


@attrs.frozen
class Change:
    """The ``option``-th change of the ``number``-th node of a text."""

    source: str
    number: int
    option: int
    line: int
    about: str

    def code(self, path: Path) -> CodeType:
        """The changed text, compiled."""
        return compile(_changed(self.source, self.number, self.option)[0], str(path), "exec")


def code_of(source: str, path: Path) -> CodeType:
    """The text as it is, compiled."""
    return compile(ast.parse(source), str(path), "exec")


def changes(source: str) -> Iterator[Change]:
    """Every change of this text that makes another program of it."""
    usual = marshal.dumps(code_of(source, Path("x")))
    for number, node in enumerate(_nodes(ast.parse(source))):
        for option in range(len(_options(node))):
            tree, before, after = _changed(source, number, option)
            if marshal.dumps(compile(tree, "x", "exec")) != usual:
                about = f"{_short(before)}  ->  {_short(after)}"
                yield Change(source, number, option, getattr(node, "lineno", 0), about)


def _short(text: str) -> str:
    return " ".join(text.split())[:90]


def _changed(source: str, number: int, option: int) -> tuple[ast.Module, str, str]:
    tree = ast.parse(source)
    node = _nodes(tree)[number]
    before = ast.unparse(node)
    other = _options(node)[option]()
    if other is not None:
        _put(tree, node, ast.copy_location(other, node))
    return ast.fix_missing_locations(tree), before, ast.unparse(other or node)


def _put(tree: ast.AST, old: ast.AST, new: ast.AST) -> None:
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, new)
            elif isinstance(value, list):
                value[:] = [new if one is old else one for one in value]


def _nodes(tree: ast.AST) -> list[ast.AST]:
    """All nodes that do something: no annotations, decorators, docstrings, imports, texts to read."""
    found: list[ast.AST] = []
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, ast.AST) and not _is_idle(one):
                found += [one, *_nodes(one)]
    return found


def _is_idle(node: ast.AST) -> bool:
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0]) in ("__all__", "__slots__")
    said = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    return said or isinstance(node, (ast.Import, ast.ImportFrom, ast.Assert))


def _options(node: ast.AST) -> list[Swap]:
    """The changes of one node."""
    match node:
        case ast.Compare(ops=ops):
            return [_set(ops, i, new()) for i, op in enumerate(ops) for new in COMPARED[type(op)]]
        case ast.BinOp(op=op) if type(op) in SUMS:
            return [_field(node, "op", SUMS[type(op)]())]
        case ast.BoolOp(op=op):
            return [_field(node, "op", ast.Or() if isinstance(op, ast.And) else ast.And())]
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            return [lambda: operand]
        case ast.If(test=test) | ast.IfExp(test=test) if not isinstance(test, ast.Compare):
            return [_field(node, "test", ast.UnaryOp(ast.Not(), test))]
        case ast.Return(value=value) if value is not None and ast.unparse(value) != "None":
            return [_field(node, "value", ast.Constant(None))]
        case ast.Expr() | ast.AugAssign() | ast.Raise() | ast.Continue() | ast.Break():
            return [ast.Pass]
        case ast.Call(args=[first, second, *_]) if ast.unparse(first) != ast.unparse(second):
            return [_field(node, "args", [second, first, *node.args[2:]])]
        case ast.Constant(value=value):
            return [_field(node, "value", other) for other in _others(value)]
    return []


def _others(value: object) -> list[object]:
    """Other constants: numbers a little off, and words (not sentences) that are none."""
    if isinstance(value, bool):
        return [not value]
    if isinstance(value, int):
        return [value + 1, value - 1]
    if isinstance(value, float):
        return [value * 1.25, value * 0.8] if value else [1.0]
    if isinstance(value, str) and value and not set(value) & set(" \n.,;:{}“”"):
        return [f"{value}~"]
    return []


def _field(node: ast.AST, name: str, value: object) -> Swap:
    return lambda: setattr(node, name, value)


def _set(values: list[ast.cmpop], index: int, value: ast.cmpop) -> Swap:
    return lambda: values.__setitem__(index, value)
