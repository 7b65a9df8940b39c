"""A sheet's text as statements: one line each, parsed, with exact places."""

import unicodedata
from dataclasses import dataclass
from typing import TypeAlias

import lark
from lark import Token, Tree

from verifier import grammars
from verifier.errors import SheetError
from verifier.structure.slips import explain, shortened

Node: TypeAlias = Tree[Token] | Token

MOST_CHARACTERS = 100_000
MOST_STATEMENTS = 2_000
LONGEST_LINE = 4_000
DEEPEST = 120
_HIDDEN = {"Cc", "Cf", "Co", "Cs", "Zl", "Zp"}


@dataclass(frozen=True)
class Statement:
    """One parsed line: `number` counts from 1, `kind` is the grammar's rule, `parts` its nodes."""

    number: int
    text: str
    kind: str
    parts: tuple[Node, ...]
    path: str

    def error(
        self, at: Node | None, problem: str, expected: str = "", example: str = ""
    ) -> SheetError:
        """Return the error that points at a node of this line (None: at its beginning)."""
        column = place(at)[0] if at is not None else len(self.text) - len(self.text.lstrip())
        shown = shortened(self.text)
        return SheetError(self.number, column, problem, expected, example, shown, self.path)

    def written(self, node: Node) -> str:
        """Return a node as the sheet has it, with the brackets that belong to it."""
        start, end = place(node)
        code = self.text
        while code[start:end].count(")") > code[start:end].count("(") and "(" in code[:start]:
            start = code.rindex("(", 0, start)
        while code[start:end].count("(") > code[start:end].count(")") and ")" in code[end:]:
            end = code.index(")", end) + 1
        return code[start:end].strip()


def place(node: Node) -> tuple[int, int]:
    """Return a node's first column and end column, from 0."""
    if isinstance(node, Token):
        return (node.start_pos or 0, node.end_pos or 0)
    return (node.meta.start_pos, node.meta.end_pos)


def statements(text: str, path: str) -> list[Statement]:
    """Parse a sheet line by line; comments and blank lines fall away.

    Raises `SheetError` at the first line that is no statement, or where the sheet is too large.
    """
    if len(text) > MOST_CHARACTERS:
        problem = f"the sheet has {len(text):,} characters"
        raise SheetError(1, 0, problem, f"at most {MOST_CHARACTERS:,}", path=path)
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    found: list[Statement] = []
    for number, line in enumerate(lines, start=1):
        _look_through(line, number, path)
        code = line.split("#", 1)[0].rstrip()
        if code:
            if len(found) == MOST_STATEMENTS:
                expected = f"at most {MOST_STATEMENTS:,} statements in a sheet"
                raise SheetError(number, 0, "the sheet is too long", expected, path=path)
            found.append(_statement(code, number, path))
    return found


def _look_through(line: str, number: int, path: str) -> None:
    if len(line) > LONGEST_LINE:
        problem = f"the line has {len(line):,} characters"
        raise SheetError(number, LONGEST_LINE, problem, f"at most {LONGEST_LINE:,}", path=path)
    if line.isascii() and line.isprintable():
        return
    for column, character in enumerate(line):
        if unicodedata.category(character) in _HIDDEN and character != "\t":
            problem = f"hidden control character U+{ord(character):04X}"
            raise SheetError(number, column, problem, "visible text", path=path)


def _statement(code: str, number: int, path: str) -> Statement:
    try:
        tree = grammars.parser("givens").parse(code).children[0]
    except lark.UnexpectedInput as slip:
        raise explain(slip, code, number, path) from None
    assert isinstance(tree, Tree)
    statement = Statement(number, code, str(tree.data), tuple(tree.children), path)
    _not_too_deep(statement)
    return statement


def _not_too_deep(statement: Statement) -> None:
    """Refuse nesting on which later recursion could run out of stack."""
    layer, depth = list(statement.parts), 0
    while layer:
        if depth == DEEPEST:
            problem = "brackets or powers nested too deeply"
            raise statement.error(layer[0], problem, f"{DEEPEST // 3} levels at most")
        layer = [part for node in layer if isinstance(node, Tree) for part in node.children]
        depth += 1
