"""Every sentence that the program's code may say, gathered from the code itself.

A sentence made of parts (`f"… {name} …"`) is filled with made-up names and numbers, so that a
catalogue can be asked for the sentence as a user would see it.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import verifier

ROOT = Path(verifier.__file__).parent
_MAKERS = {
    "FileError": (1, 2),
    "UsageError": (0, 1),
    "SheetError": (2, 3),
    "error": (1, 2),
    "ArgumentTypeError": (0,),
    "NoSolution": (1,),
    "Reason": (1,),
    "_Cause": (0,),
    "Outcome": (),
    "Slip": (1,),
    "SlipKind": (1,),
    "NotLinear": (0,),
    "ZeroDivisionError": (0,),
    "append": (0,),
    "Explanation": (3,),
    "_algebra": (2,),
}
"""Which arguments of what is made are shown: `error` is a sheet statement's, `append` notes'."""
_FIELDS = {"problem", "expected", "reason", "remedy"}
_TOLD = {"text", "tell", "many", "_say"}
_SILENT = ("training", "shapes_training.py", "surds.py")
HOLE = "Xq7"


class Rooms:
    """The modules of the package, each parsed once."""

    def __init__(self) -> None:
        self.trees = {
            path.relative_to(ROOT).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
            for path in sorted(ROOT.rglob("*.py"))
            if not any(part in _SILENT for part in path.parts)
        }

    def errors(self) -> Iterator[tuple[str, str]]:
        """Yield where and what: the parts of each error that a user is shown."""
        for name, tree in self.trees.items():
            for function in _functions(tree):
                for call in _calls(function):
                    for part in _shown(call):
                        for sentence in filter(_is_said, _said(part, function, tree)):
                            yield f"{name}:{call.lineno}", sentence

    def told(self) -> Iterator[tuple[str, str]]:
        """Yield where and what: the English keys of sentences that the reports tell."""
        for name, tree in self.trees.items():
            for function in _functions(tree):
                for call in _calls(function):
                    if _name(call.func) not in _TOLD:
                        continue
                    keys = call.args[1:3] if _name(call.func) == "many" else call.args[:1]
                    for key in keys:
                        for sentence in filter(_is_said, _said(key, function, tree)):
                            yield f"{name}:{call.lineno}", sentence


def _functions(tree: ast.Module) -> Iterator[ast.AST]:
    inner: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node not in inner:
            inner |= {one for one in ast.walk(node) if isinstance(one, ast.FunctionDef)}
            yield node


def _calls(function: ast.AST) -> Iterator[ast.Call]:
    return (node for node in ast.walk(function) if isinstance(node, ast.Call))


def _name(node: ast.expr) -> str:
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""


def _shown(call: ast.Call) -> list[ast.expr]:
    at = _MAKERS.get(_name(call.func))
    if at is None or (_name(call.func) == "error" and len(call.args) < 2):
        return []
    if _name(call.func) == "append":
        of = call.func.value if isinstance(call.func, ast.Attribute) else call.func
        at = at if isinstance(of, ast.Attribute) and of.attr == "notes" else ()
    parts = [call.args[number] for number in at if number < len(call.args)]
    return parts + [word.value for word in call.keywords if word.arg in _FIELDS]


def _said(node: ast.expr, function: ast.AST, tree: ast.Module, deep: int = 0) -> list[str]:
    """Return what an expression may come to; [] where the code alone does not tell."""
    if deep > 5:
        return []
    more = (function, tree, deep + 1)
    match node:
        case ast.Constant(value=str(text)):
            return [text]
        case ast.JoinedStr(values=values):
            return _joined(values, *more)
        case ast.IfExp(body=body, orelse=other):
            return [*_said(body, *more), *_said(other, *more)]
        case ast.BoolOp(op=ast.And(), values=values):
            return _said(values[-1], *more)
        case ast.BoolOp(values=values):
            return [one for value in values for one in _said(value, *more)]
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            ends = _said(right, *more) or [HOLE]
            return [one + end for one in _said(left, *more) for end in ends]
        case ast.Subscript(value=value):
            return _said(value, *more)
        case ast.Name(id=name):
            return _assigned(name, *more)
        case ast.Call(func=ast.Name(id=name)):
            return _returned(name, tree, deep + 1)
    return []


def _is_said(text: str) -> bool:
    return any(letter.isalpha() for letter in text.replace(HOLE, ""))


def _joined(values: list[ast.expr], function: ast.AST, tree: ast.Module, deep: int) -> list[str]:
    said = [""]
    for value in values:
        match value:
            case ast.Constant(value=text):
                ends = [str(text)]
            case ast.FormattedValue(value=ast.Name(id=name), format_spec=None):
                ends = [one for one in _assigned(name, function, tree, deep) if one] or [HOLE]
            case _:
                ends = [HOLE]
        said = [one + end for one in said for end in ends[:6]]
    return list(dict.fromkeys(said))


def _assigned(name: str, function: ast.AST, tree: ast.Module, deep: int) -> list[str]:
    found: list[str] = []
    for node in [*ast.walk(function), *tree.body]:
        match node:
            case ast.Assign(targets=[ast.Name(id=given)], value=value) if given == name:
                found += _said(value, function, tree, deep)
            case ast.Assign(targets=[ast.Tuple(elts=names)], value=ast.Tuple(elts=values)):
                for one, value in zip(names, values, strict=False):
                    if _name(one) == name:
                        found += _said(value, function, tree, deep)
    return list(dict.fromkeys(found))


def _returned(name: str, tree: ast.Module, deep: int) -> list[str]:
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name == name:
            for one in ast.walk(node):
                if isinstance(one, ast.Return) and one.value is not None:
                    found += _said(one.value, node, tree, deep)
    return list(dict.fromkeys(found))
