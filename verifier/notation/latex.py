"""A line of LaTeX → plain characters, each with its place in the source as typed."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from lark import Token, Tree
from lark.exceptions import LarkError

from verifier import grammars
from verifier.notation import source as sources
from verifier.notation import units
from verifier.notation.latex_tables import DROPPED, SYMBOLS, TRANSPARENT, UNIT_WORDS
from verifier.notation.source import Source

_LOOKS = re.compile(r"\{,\}|\\[a-zA-Z,;:!\\\[(]|\$[^$]+\$|\$\$")
_TABLE = re.compile(r"[^\\]&\s*[^\s+-].*[^\\]&\s*[^\s+-]")
_DASHES_OR_ONE = re.compile(r"-{2,3}|.", re.DOTALL)
_DEEPEST = 40
_LONGEST = 3_000


@dataclass(frozen=True)
class Macros:
    """What the document defines: macros (arguments, body) and numbers of labels."""

    bodies: dict[str, tuple[int, str]] = field(default_factory=dict)
    labels: dict[str, str] = field(default_factory=dict)


NO_MACROS = Macros()


def looks_like(line: str) -> bool:
    """Tell whether a line carries LaTeX."""
    return ("\\" in line or "$" in line or "{,}" in line) and _LOOKS.search(line) is not None


def translate(line: str, macros: Macros = NO_MACROS) -> Source:
    """Return a line of LaTeX in plain characters with the map to its source.

    Braces without partners are closed at the end or left out; what nests deeper than anyone writes
    is taken as plain text.
    """
    tree = _tree(line)
    if tree is None:
        return sources.plain(line)
    writer = _Writer(
        macros, len(line), bool(_TABLE.search(line)) and "=" not in line, _open_brace(line)
    )
    writer.items(tree.children)
    text = "".join(writer.text).translate(sources.PLAIN)
    return sources.squeeze(Source(line, text, tuple(writer.starts), tuple(writer.ends)))


def _open_brace(line: str) -> bool:
    """Tell whether a brace made large stands alone in a line, as beside several equations."""
    return "\\right." in line or "\\left." in line or ("\\right" in line) != ("\\left" in line)


def _tree(line: str) -> Any:
    depth = deepest = 0
    for mark in re.findall(r"\\.|[{}]", line):
        depth = max(0, depth + (mark == "{") - (mark == "}"))
        deepest = max(deepest, depth)
    if deepest > _DEEPEST or len(line) > _LONGEST:
        return None
    try:
        return grammars.parser("latex", lexer="contextual", propagate_positions=False).parse(
            line + "}" * depth
        )
    except LarkError:
        return None


class _Writer:
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
            self.group(item, "{", "}") if self._after_sub() else self.items(_inner(item))
            return at + 1
        start, end = _place(item)
        match item.type:
            case "COMMAND":
                return self.command(items, at)
            case "ESCAPED":
                self.put(_ESCAPED.get(str(item), " "), start, end)
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
                items[at] = _rest(items[at], spacing.end())
        return at

    def _after_sub(self) -> bool:
        return bool(self.text) and self.text[-1] == "_"

    def group(self, item: Any, opening: str, closing: str) -> None:
        """Write a group between the given brackets."""
        first, *inner, last = item.children
        self.put(opening, *_place(first))
        self.items(inner)
        self.put(closing, *_place(last))

    def sub(self, items: list[Any], at: int) -> int:
        """Write a subscript without the commas and spaces that set its type."""
        self.put("_", *_place(items[at]))
        if at + 1 >= len(items) or str(items[at + 1]).startswith("("):
            return at + 1
        mark = len(self.text)
        if isinstance(items[at + 1], Tree):
            self.group(items[at + 1], "{", "}")
            after = at + 2
        else:
            arg, after = self.argument(items, at + 1)
            self.put("{", *_span(arg, items[at]))
            self.items(arg)
            self.put("}", *_span(arg, items[at])[1:] * 2)
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
        start, _ = _place(items[at])
        arg, after = self.argument(items, at + 1)
        inside = "".join(_flat(arg)).strip()
        end = _span(arg, items[at])[1]
        if isinstance(items[at + 1] if at + 1 < len(items) else None, Tree):
            end = _place(items[at + 1].children[-1])[1]
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
                rest = _rest(token, skipped + 1)
                if rest:
                    items[at] = rest
                    return [head], at
                return [head], at + 1
            at += 1
        if at >= len(items):
            return [], at
        if isinstance(items[at], Tree):
            return _inner(items[at]), at + 1
        if items[at].type == "COMMAND" and items[at][1:] in TRANSPARENT:
            return [items[at], *items[at + 1 : at + 2]], at + 2
        return [items[at]], at + 1

    def optional(self, items: list[Any], at: int) -> int:
        """Leave out `[…]` behind a command."""
        if at >= len(items) or not isinstance(items[at], Token) or items[at].type != "TEXT":
            return at
        option = re.match(r"\s*\[[^\]]*\]", items[at])
        if option:
            items[at] = _rest(items[at], option.end())
        elif items[at].lstrip().startswith("["):
            closing = next((i for i in range(at, min(at + 6, len(items))) if "]" in items[i]), None)
            if closing is not None and isinstance(items[closing], Token):
                items[closing] = _rest(items[closing], items[closing].index("]") + 1)
                return closing
        return at

    def command(self, items: list[Any], at: int) -> int:
        """Write a command with its arguments."""
        token = items[at]
        name = str(token)[1:].rstrip("*")
        start, end = _place(token)
        if name in self.macros.bodies and self.expansions < 200:
            return self.macro(name, items, at)
        if handler := _HANDLERS.get(name):
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
        start, end = _place(items[at])
        after = at + 1
        args: list[str] = []
        for _ in range(count):
            arg, after = self.argument(items, after)
            args.append("".join(_flat(arg)))
            end = max(end, _span(arg, items[at])[1] + 1)
        for index, arg_text in enumerate(args, 1):
            body = body.replace(f"#{index}", arg_text)
        self.expansions += 1
        tree = _tree(body[:1000])
        if tree is not None:
            outer, self.fixed = self.fixed, self.fixed or (start, end)
            self.items(tree.children)
            self.fixed = outer
        return after


def _fraction(writer: _Writer, items: list[Any], at: int) -> int:
    start, end = _place(items[at])
    top, middle = writer.argument(items, at + 1)
    if (_is_upright(top) or _is_digits(top)) and (
        written := _plain_fraction(writer, top, list(items), middle)
    ):
        bottom, after = writer.argument(items, middle)
        writer.put(written, start, _closing(items, after, bottom, end))
        return after
    writer.put("((", start, end)
    writer.items(top)
    place = _closing(items, middle, top, end)
    writer.put(")", place - 1, place)
    bottom, after = writer.argument(items, middle)
    writer.put("/", place, place)
    below = max(place, _closing(items, after, bottom, place) - 1)
    opening = min(place, below) if not bottom else max(place, _span(bottom, None)[0] - 1)
    writer.put("(", opening, opening + 1)
    writer.items(bottom)
    last = _closing(items, after, bottom, place)
    writer.put("))", last - 1, last)
    return after


def _plain_fraction(writer: _Writer, top: list[Any], items: list[Any], middle: int) -> str:
    """Return a fraction as it stands in plain text: a unit (`kN/m`) or the end of `3 1/2`; or ''.

    Before feet or inches a whole number and a fraction are one number, not a product.
    """
    bottom, after = writer.argument(items, middle)
    if _is_upright(top) and _is_upright(bottom):
        written = "/".join(_upright_word(arg) for arg in (top, bottom))
        return f" {written}" if units.PATTERN.fullmatch(written) else ""
    before = "".join(writer.text[-24:])
    if not (_is_digits(top) and _is_digits(bottom) and _WHOLE.search(before)):
        return ""
    above, below = ("".join(_flat(arg)).strip() for arg in (top, bottom))
    follows = "".join(_flat(items[after : after + 6]))
    if not _FEET.match(follows):
        return ""
    return f"{'' if before[-1] == ' ' else ' '}{above}/{below}"


_UPRIGHT = ("\\mathrm", "\\text", "\\textrm", "\\rm", "\\mbox", "\\si", "\\unit")
_DIGITS = re.compile(r"\s*\d{1,2}\s*")
_WHOLE = re.compile(r"(?<![\d.,])\d{1,6}\s?$")
_FEET = re.compile(r"[\s~]*(?:ft|in|inch(?:es)?|feet)\b|[\s~]*['\"]")


def _is_upright(arg: list[Any]) -> bool:
    return any(piece in _UPRIGHT for piece in _flat(arg))


def _is_digits(arg: list[Any]) -> bool:
    return bool(_DIGITS.fullmatch("".join(_flat(arg))))


def _upright_word(arg: list[Any]) -> str:
    pieces = (piece for piece in _flat(arg) if not piece.startswith("\\") and piece not in "{}")
    return "".join(pieces).strip()


def _over(items: list[Any]) -> list[Any]:
    r"""Return the items of a group with `a \\over b` as the fraction that it is."""
    place = next((i for i, one in enumerate(items) if one == "\\over"), None)
    if place is None:
        return items
    command = items[place]
    start, end = _place(command)
    before, after = items[:place], items[place + 1 :]
    above = _grouped(before, _span(before, command)[0], start - 1)
    below = _grouped(after, end, _span(after, command)[1])
    return [Token("COMMAND", "\\frac", start_pos=start), above, below]


def _grouped(items: list[Any], start: int, end: int) -> Any:
    opening, closing = Token("OPEN", "{", start_pos=start), Token("CLOSE", "}", start_pos=end)
    return Tree("group", [opening, *items, closing])


def _closing(items: list[Any], after: int, arg: list[Any], fallback: int) -> int:
    """Return the column behind an argument, its closing brace included."""
    previous = items[after - 1] if 0 < after <= len(items) else None
    if isinstance(previous, Tree):
        return _place(previous.children[-1])[1]
    return _span(arg, None)[1] if arg else fallback


def _begin(writer: _Writer, items: list[Any], at: int) -> int:
    writer.put(" ", *_place(items[at]))
    name, after = writer.argument(items, at + 1)
    after = writer.optional(items, after)
    if "".join(_flat(name)).rstrip("*") in _WITH_COLUMNS:
        _, after = writer.argument(items, after)
    return after


_WITH_COLUMNS = ("array", "tabular", "tabularx", "alignat", "alignedat", "minipage", "multicols")


def _item(writer: _Writer, items: list[Any], at: int) -> int:
    writer.put(" ", *_place(items[at]))
    return writer.optional(items, at + 1)


def _root(writer: _Writer, items: list[Any], at: int) -> int:
    start, end = _place(items[at])
    after = writer.optional(items, at + 1)
    arg, after = writer.argument(items, after)
    writer.put("√(", start, end)
    writer.items(arg)
    last = _closing(items, after, arg, end)
    writer.put(")", last - 1, last)
    return after


def _struck(writer: _Writer, items: list[Any], at: int) -> int:
    start, end = _place(items[at])
    after = at + 1
    if items[at] == "\\cancelto":
        _, after = writer.argument(items, after)
    arg, after = writer.argument(items, after)
    writer.put("~~", start, end)
    writer.items(arg)
    last = _closing(items, after, arg, end)
    writer.put("~~", last - 1, last)
    return after


def _labelled_arrow(writer: _Writer, items: list[Any], at: int) -> int:
    start, end = _place(items[at])
    after = writer.optional(items, at + 1)
    arg, after = writer.argument(items, after)
    last = _closing(items, after, arg, end)
    writer.put("→" if "right" in items[at] else "←", start, end)
    inside = "".join(_flat(arg)).strip()
    if "+" in inside:
        writer.put("+", last - 1, last)
    return after


def _stacked(writer: _Writer, items: list[Any], at: int) -> int:
    r"""Write `\overset{+}{\rightarrow}` as →+."""
    over, middle = writer.argument(items, at + 1)
    under, after = writer.argument(items, middle)
    arrow, sign = (under, over) if "".join(_flat(over)).strip() in "+-" else (over, under)
    writer.items(arrow)
    writer.items(sign)
    return after


def _sized(writer: _Writer, items: list[Any], at: int) -> int:
    r"""Leave out \left and \right, and the full stop that stands for no bracket."""
    after = at + 1
    token = items[after] if after < len(items) else None
    if writer.cases and token in ("\\{", "\\}"):
        return after + 1
    if isinstance(token, Token) and token.type == "TEXT" and token.lstrip().startswith("."):
        items[after] = _rest(token, len(token) - len(token.lstrip()) + 1)
    return after


def _tag(writer: _Writer, items: list[Any], at: int) -> int:
    arg, after = writer.argument(items, at + 1)
    inside = "".join(_flat(arg)).strip().strip("()")
    name = str(items[at])[1:].rstrip("*")
    if name in ("label", "ref", "eqref"):
        inside = writer.macros.labels.get(inside, "")
    start = _place(items[at])[0]
    end = _closing(items, after, arg, start)
    if inside:
        writer.put(f"   ({inside})" if name in ("tag", "label") else f"({inside})", start, end)
    return after


def _quantity(writer: _Writer, items: list[Any], at: int) -> int:
    after = writer.optional(items, at + 1)
    number, after = writer.argument(items, after)
    writer.items(number)
    place = _span(number, items[at])[1]
    after = writer.optional(items, after)
    unit, after = writer.argument(items, after)
    last = _closing(items, after, unit, place)
    written = unit_text(unit)
    writer.put((" " if written != "°" else "") + written, _span(unit, items[at])[0], last)
    return after


def _unit(writer: _Writer, items: list[Any], at: int) -> int:
    start, end = _place(items[at])
    after = writer.optional(items, at + 1)
    unit, after = writer.argument(items, after)
    writer.put(" " + unit_text(unit), start, _closing(items, after, unit, end))
    return after


def _number(writer: _Writer, items: list[Any], at: int) -> int:
    after = writer.optional(items, at + 1)
    number, after = writer.argument(items, after)
    writer.items(number)
    if items[at] == "\\ang":
        last = _closing(items, after, number, _place(items[at])[1])
        writer.put("°", last - 1, last)
    return after


_HANDLERS: dict[str, Callable[[_Writer, list[Any], int], int]] = {
    **dict.fromkeys(("frac", "tfrac", "dfrac", "cfrac", "sfrac", "nicefrac"), _fraction),
    **dict.fromkeys(("cancel", "bcancel", "xcancel", "sout", "st", "cancelto"), _struck),
    **dict.fromkeys(("xrightarrow", "xleftarrow"), _labelled_arrow),
    **dict.fromkeys(("overset", "underset", "stackrel"), _stacked),
    **dict.fromkeys(("left", "right", "big", "Big", "bigl", "bigr", "Bigl", "Bigr"), _sized),
    **dict.fromkeys(("tag", "label", "ref", "eqref"), _tag),
    **dict.fromkeys(("qty", "SI"), _quantity),
    **dict.fromkeys(("unit", "si"), _unit),
    **dict.fromkeys(("num", "ang"), _number),
    "sqrt": _root,
    "item": _item,
    "begin": _begin,
}
_ESCAPED = {
    "\\,": " ", "\\;": " ", "\\:": " ", "\\!": "", "\\ ": " ", "\\\\": " ; ", "\\%": "%",
    "\\#": "#", "\\&": "&", "\\_": "_", "\\{": "(", "\\}": ")", "\\[": " ", "\\]": " ",
    "\\(": " ", "\\)": " ", "\\|": "|", "\\/": "", "\\-": "", "\\>": " ", "\\'": "", "\\$": " ",
}  # fmt: skip


def unit_text(items: list[Any]) -> str:
    r"""Return a unit of siunitx in plain characters: \kilo\newton\metre → kN·m."""
    out = ""
    joined = True
    for piece in _flat(items):
        word = piece.lstrip("\\") if piece.startswith("\\") else None
        if word is None:
            out += piece.strip().replace(".", "·").replace("~", "·")
            joined = True
            continue
        text, prefix = UNIT_WORDS.get(word, ("", False))
        if text == "/" or text in ("²", "³"):
            out, joined = out + text, text == "/"
        elif text:
            out += ("" if joined else "·") + text
            joined = prefix
    return out


def _inner(group: Any) -> list[Any]:
    return _over(list(group.children[1:-1]))


def _flat(items: list[Any]) -> list[str]:
    out: list[str] = []
    for item in items:
        out += _flat(item.children) if isinstance(item, Tree) else [str(item)]
    return out


def _place(token: Any) -> tuple[int, int]:
    if isinstance(token, Tree):
        return _place(token.children[0])[0], _place(token.children[-1])[1]
    start = token.start_pos or 0
    return start, start + len(token)


def _span(items: list[Any], fallback: Any) -> tuple[int, int]:
    if items:
        return _place(items[0])[0], _place(items[-1])[1]
    return _place(fallback) if fallback is not None else (0, 0)


def _rest(token: Token, skip: int) -> Token:
    return Token("TEXT", str(token)[skip:], start_pos=(token.start_pos or 0) + skip)
