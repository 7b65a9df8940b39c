"""Writes LaTeX in plain characters, each with its place in the source."""

import re
from typing import Any

from lark import Token, Tree

from verifier.notation.latex_commands import HANDLERS
from verifier.notation.latex_tables import DROPPED, SYMBOLS, TRANSPARENT
from verifier.notation.latex_tree import (
    Macros,
    extent,
    flat,
    inner,
    parsed,
    place_of,
    remainder,
)

_DASHES_OR_ONE = re.compile(r"-{2,3}|.", re.DOTALL)
ESCAPED = {
    "\\,": " ", "\\;": " ", "\\:": " ", "\\!": "", "\\ ": " ", "\\\\": " ; ", "\\%": "%",
    "\\#": "#", "\\&": "&", "\\_": "_", "\\{": "(", "\\}": ")", "\\[": " ", "\\]": " ",
    "\\(": " ", "\\)": " ", "\\|": "|", "\\/": "", "\\-": "", "\\>": " ", "\\'": "", "\\$": " ",
}  # fmt: skip


class Writer:
    """Writes plain characters with their places; one method for each kind of item."""

    def __init__(self, macros: Macros, size: int, table: bool = False, cases: bool = False) -> None:
        self.macros = macros
        self.table = table
        self.cases = cases
        self.size = size
        self.text: list[str] = []
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.fixed: tuple[int, int] | None = None
        self.expansions = 0

    def put(self, text: str, start: int, end: int) -> None:
        """Write `text`, all of it standing for source columns `start` to `end`."""
        if self.fixed:
            start, end = self.fixed
        start, end = min(start, self.size), min(end, self.size)
        for char in text:
            self.text.append(char)
            self.starts.append(start)
            self.ends.append(end)

    def each(self, text: str, start: int) -> None:
        """Write `text` character for character."""
        for match in _DASHES_OR_ONE.finditer(text):
            first, last = match.span()
            self.put(match.group()[0], start + first, start + last)

    def items(self, items: list[Any]) -> None:
        """Write a list of items in order."""
        at = 0
        items = list(items)
        while at < len(items):
            at = self.item(items, at)

    def item(self, items: list[Any], at: int) -> int:
        """Write the item at `at` with its arguments; return where the next one stands."""
        item = items[at]
        if isinstance(item, Tree):
            self.group(item, "{", "}") if self._after_sub() else self.items(inner(item))
            return at + 1
        start, end = place_of(item)
        match item.type:
            case "COMMAND":
                return self.command(items, at)
            case "ESCAPED":
                self.put(ESCAPED.get(str(item), " "), start, end)
                return self._row(items, at + 1) if item == "\\\\" else at + 1
            case "TEXT":
                self.each(str(item), start)
            case "SUB":
                return self.sub(items, at)
            case "SUPER":
                return self.super(items, at)
            case "ALIGN":
                self.put(" | " if self.table else "   ", start, end)
            case "STRAY":
                pass
            case "MATH":
                self.put(" " if len(item) > 1 else "", start, end)
            case _:
                self.put(" ", start, end)
        return at + 1

    def _row(self, items: list[Any], at: int) -> int:
        r"""Leave out the space that `\\[4pt]` asks for."""
        if at < len(items) and isinstance(items[at], Token) and items[at].type == "TEXT":
            spacing = re.match(r"\[[^\]]*\]", items[at])
            if spacing:
                items[at] = remainder(items[at], spacing.end())
        return at

    def _after_sub(self) -> bool:
        return bool(self.text) and self.text[-1] == "_"

    def group(self, item: Any, opening: str, closing: str) -> None:
        """Write a group between the given brackets."""
        first, *inner, last = item.children
        self.put(opening, *place_of(first))
        self.items(inner)
        self.put(closing, *place_of(last))

    def sub(self, items: list[Any], at: int) -> int:
        """Write a subscript without the commas and spaces that set its type."""
        self.put("_", *place_of(items[at]))
        if at + 1 >= len(items) or str(items[at + 1]).startswith("("):
            return at + 1
        mark = len(self.text)
        if isinstance(items[at + 1], Tree):
            self.group(items[at + 1], "{", "}")
            after = at + 2
        else:
            arg, after = self.argument(items, at + 1)
            self.put("{", *extent(arg, items[at]))
            self.items(arg)
            self.put("}", *extent(arg, items[at])[1:] * 2)
        flat = self.text[mark + 1 : -1]
        for index in range(mark, len(self.text)):
            inner = mark < index < len(self.text) - 1
            if self.text[index] in " ,;" or (inner and self.text[index] in "_{}" and "_" in flat):
                self.text[index] = ""
        self._squeeze(mark)
        return after

    def _squeeze(self, mark: int) -> None:
        keep = [i for i in range(mark, len(self.text)) if self.text[i]]
        self.text[mark:] = [self.text[i] for i in keep]
        self.starts[mark:] = [self.starts[i] for i in keep]
        self.ends[mark:] = [self.ends[i] for i in keep]

    def super(self, items: list[Any], at: int) -> int:
        """Write a superscript: a degree sign, a plus behind an arrow, or a power."""
        start, _ = place_of(items[at])
        arg, after = self.argument(items, at + 1)
        inside = "".join(flat(arg)).strip()
        end = extent(arg, items[at])[1]
        if isinstance(items[at + 1] if at + 1 < len(items) else None, Tree):
            end = place_of(items[at + 1].children[-1])[1]
        if inside in ("\\circ", "\\degree", "°", "o"):
            self.put("°", start, end)
        elif inside in ("+", "\\prime") or (inside.startswith("\\c") and inside[1:] in SYMBOLS):
            self.put({"+": "+", "\\prime": "'"}.get(inside) or SYMBOLS[inside[1:]], start, end)
        elif inside:
            self.put("^", start, start + 1)
            self.put("(", start, start + 1)
            self.items(arg)
            self.put(")", max(end - 1, start), end)
        return after

    def argument(self, items: list[Any], at: int) -> tuple[list[Any], int]:
        """Return the items of the argument at `at`, a group or one character, and what follows."""
        while at < len(items) and isinstance(items[at], Token) and items[at].type == "TEXT":
            stripped = items[at].lstrip()
            if stripped:
                token = items[at]
                skipped = len(token) - len(stripped)
                head = Token("TEXT", stripped[0], start_pos=(token.start_pos or 0) + skipped)
                rest = remainder(token, skipped + 1)
                if rest:
                    items[at] = rest
                    return [head], at
                return [head], at + 1
            at += 1
        if at >= len(items):
            return [], at
        if isinstance(items[at], Tree):
            return inner(items[at]), at + 1
        if items[at].type == "COMMAND" and items[at][1:] in TRANSPARENT:
            return [items[at], *items[at + 1 : at + 2]], at + 2
        return [items[at]], at + 1

    def optional(self, items: list[Any], at: int) -> int:
        """Leave out `[…]` behind a command."""
        if at >= len(items) or not isinstance(items[at], Token) or items[at].type != "TEXT":
            return at
        option = re.match(r"\s*\[[^\]]*\]", items[at])
        if option:
            items[at] = remainder(items[at], option.end())
        elif items[at].lstrip().startswith("["):
            closing = next((i for i in range(at, min(at + 6, len(items))) if "]" in items[i]), None)
            if closing is not None and isinstance(items[closing], Token):
                items[closing] = remainder(items[closing], items[closing].index("]") + 1)
                return closing
        return at

    def command(self, items: list[Any], at: int) -> int:
        """Write a command with its arguments."""
        token = items[at]
        name = str(token)[1:].rstrip("*")
        start, end = place_of(token)
        if name in self.macros.bodies and self.expansions < 200:
            return self.macro(name, items, at)
        if handler := HANDLERS.get(name):
            return handler(self, items, at)
        if name in DROPPED:
            self.put(" ", start, end)
            after = self.optional(items, at + 1)
            for _ in range(DROPPED[name]):
                _, after = self.argument(items, after)
                after = self.optional(items, after)
            return after
        if name in SYMBOLS:
            glued = SYMBOLS[name].isalpha() and bool(self.text) and self.text[-1].isalpha()
            self.put(" " * glued + SYMBOLS[name], start, end)
            return at + 1
        if name not in TRANSPARENT:
            self.put(" ", start, end)
        return at + 1

    def macro(self, name: str, items: list[Any], at: int) -> int:
        """Write what a macro of the document stands for, all of it at the macro's place."""
        count, body = self.macros.bodies[name]
        start, end = place_of(items[at])
        after = at + 1
        args: list[str] = []
        for _ in range(count):
            arg, after = self.argument(items, after)
            args.append("".join(flat(arg)))
            end = max(end, extent(arg, items[at])[1] + 1)
        for index, arg_text in enumerate(args, 1):
            body = body.replace(f"#{index}", arg_text)
        self.expansions += 1
        tree = parsed(body[:1000])
        if tree is not None:
            outer, self.fixed = self.fixed, self.fixed or (start, end)
            self.items(tree.children)
            self.fixed = outer
        return after
