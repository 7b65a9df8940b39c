"""The composer's markup as a tree, and the tokens that a line of it should be read as."""

from dataclasses import dataclass

from verifier.reading.hand_tokens import CIRCLED_C, CIRCLED_T, ROOT_END, STRUCK, TOP, numbers


@dataclass
class Sign:
    """One sign, or the gap between words."""

    text: str


@dataclass
class Script:
    """Lowered (`up` false) or raised signs."""

    row: list["Node"]
    up: bool


@dataclass
class Stack:
    """A stacked fraction."""

    top: list["Node"]
    low: list["Node"]


@dataclass
class Root:
    """A root with its bar over `row`."""

    row: list["Node"]


@dataclass
class Struck:
    """A part crossed out."""

    row: list["Node"]


@dataclass
class Mended:
    """A part crossed out, and what is written above it."""

    row: list["Node"]
    above: list["Node"]


@dataclass
class Positive:
    """An arrow with its plus written over it, or within its turn."""

    text: str


@dataclass
class Circled:
    """A circled letter."""

    text: str


@dataclass
class Accent:
    """What stands over the letter before; it is drawn, and not read."""

    text: str


Node = Sign | Script | Stack | Root | Struck | Mended | Positive | Circled | Accent
ACCENTS = "´`¨~"


def parse(text: str) -> list[Node]:
    """Return the tree of a line of markup."""
    row, end = _row(text, 0)
    assert end == len(text), text
    return row


def _row(text: str, at: int) -> tuple[list[Node], int]:
    row: list[Node] = []
    while at < len(text) and text[at] != "}":
        two = text[at : at + 2]
        if two in ("_{", "^{"):
            inner, at = _group(text, at + 1)
            row.append(Script(inner, two[0] == "^"))
        elif two == "\\f":
            top, at = _group(text, at + 2)
            low, at = _group(text, at)
            row.append(Stack(top, low))
        elif two == "\\r":
            inner, at = _group(text, at + 2)
            row.append(Root(inner))
        elif two == "\\s":
            inner, at = _group(text, at + 2)
            row.append(Struck(inner))
        elif two == "\\o":
            inner, at = _group(text, at + 2)
            above, at = _group(text, at)
            row.append(Mended(inner, above))
        elif two == "\\a":
            row.append(Positive(text[at + 3]))
            at += 5
        elif two[:1] == "\\" and two[1:] in ACCENTS:
            row.append(Accent(two[1:]))
            at += 2
        elif two == "\\c":
            row.append(Circled(text[at + 3]))
            at += 5
        else:
            row.append(Sign(text[at]))
            at += 1
    return row, at


def _group(text: str, at: int) -> tuple[list[Node], int]:
    row, end = _row(text, at + 1)
    return row, end + 1


def labels(row: list[Node]) -> tuple[list[int], list[int]]:
    """Return the token numbers of the upper and the lower stream of a line."""
    upper: list[tuple[str, int]] = []
    lower: list[tuple[str, int]] = []
    _spell(row, 0, upper, lower)
    up, low = numbers(0), numbers(1)
    return [up[t] for t in upper], [low[t] for t in lower]


def _spell(
    row: list[Node], level: int, out: list[tuple[str, int]], lower: list[tuple[str, int]]
) -> None:
    for node in row:
        match node:
            case Sign(text=text):
                out.append((text, level))
            case Script(row=inner, up=up):
                _spell(inner, level + (2 if up else 1), out, lower)
            case Stack(top=top, low=low):
                _spell(_level(top), TOP, out, lower)
                _spell(_level(low), 0, lower, lower)
            case Root(row=inner):
                out.append(("√", level))
                _spell(inner, level, out, lower)
                out.append((ROOT_END, level))
            case Struck():
                out.append((STRUCK, level))
            case Mended(above=above):
                out.append((STRUCK, level))
                _spell(above, level, out, lower)
            case Positive(text=text):
                out.extend([(text, level), ("+", level)])
            case Accent():
                pass
            case Circled(text=text):
                out.append((CIRCLED_T if text == "T" else CIRCLED_C, level))


def _level(row: list[Node]) -> list[Node]:
    """Return a fraction's part with the fractions in it as they are read: a slash, brackets."""
    out: list[Node] = []
    for node in row:
        if isinstance(node, Stack):
            inner = [*_bracketed(node.top), Sign("/"), *_bracketed(node.low)]
            out.extend(inner if len(row) == 1 else [Sign("("), *inner, Sign(")")])
        else:
            out.append(node)
    return out


def _bracketed(row: list[Node]) -> list[Node]:
    joined = any(isinstance(node, Sign) and node.text in "+-" for node in row)
    return [Sign("("), *row, Sign(")")] if joined else row
