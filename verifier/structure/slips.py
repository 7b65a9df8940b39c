"""From a line that is no statement to one sentence that says what was expected there."""

import re

import lark

from verifier.errors import SheetError
from verifier.structure.names import likely

EXAMPLES = {
    "title": "title Slip hoist bracket",
    "units": "units kN, m",
    "let": "let a = 2.5",
    "joint": "joint Q 2.4 0",
    "member": "member P-Q, Q-R",
    "cable": "cable M-N",
    "body": "body deck: A, B, C",
    "pin": "pin A",
    "fixed": "fixed A",
    "roller": "roller B at 90",
    "load": "load Q 6 down",
    "couple": "couple B 4 clockwise",
    "distributed": "distributed A-B 3 down",
    "mass": "mass Q 250",
    "angle": "angle θ = P-Q to P-R",
    "call": "call T = force A-B",
    "find": "find reactions, P-R",
    "marks": "marks P-R 2",
}
"""One like example for each statement of the language."""

_WORDS = {
    "NAME": "a name",
    "NUMBER": "a value",
    "MINUS": "a hyphen between two joints",
    "AXIS": "x or y",
    "MOMENT": "moment",
    "REACTIONS": "an item",
    "TURN": "clockwise or anticlockwise",
    "WAY": "up, down, left, right, at DEG, toward K or away from K",
    "PLAN": "on plan",
    "TEXT": "text",
    "_COMMA": "a comma",
    "_COLON": "a colon",
    "_EQUALS": "=",
    "_ON": "on BODY",
    "_TO": "to",
    "_AT": "at",
    "_CLOSE": "a closing bracket",
    "_FORCE": "force A-B, load A or length A-B",
    "$END": "the end of the line",
}
_ITEMS = "an item such as P-R, reaction A x, pin C x on deck, moment at K, or reactions"
_TURNS = dict.fromkeys(("cw", "clock", "right"), "clockwise") | dict.fromkeys(
    ("ccw", "acw", "counterclockwise", "counter", "anti", "left"), "anticlockwise"
)
_DASHES = {"MINUS", "NEGATIVE"}
_SIGNS = {"PLUS", "POSITIVE", "TIMES", "OVER", "RAISED"} | _DASHES


def explain(slip: lark.UnexpectedInput, code: str, number: int, path: str) -> SheetError:
    """Return what a person would say about a line at which parsing stopped.

    Never quotes more than a few words of the line.
    """
    first = re.match(r"\s*(\S*)", code)
    word = first.group(1) if first else ""
    kind = _kind(word)
    column = _column(slip, code)
    if kind is None:
        return _no_statement(word, column, code, number, path)
    problem, expected = _problem(slip, code, column, kind)
    shown = shortened(code)
    return SheetError(number, column, problem, expected, EXAMPLES[kind], shown, path)


def shortened(line: str) -> str:
    """Return a line of the sheet as a message shows it, at most 120 characters."""
    return line if len(line) <= 120 else line[:119] + "…"


def _kind(word: str) -> str | None:
    plain = word.lower()
    return next((kind for kind in EXAMPLES if plain in (kind, kind + "s")), None)


def _column(slip: lark.UnexpectedInput, code: str) -> int:
    if isinstance(slip, lark.UnexpectedToken) and slip.token.type == "$END":
        return len(code)
    return slip.pos_in_stream if slip.pos_in_stream is not None else len(code)


def _no_statement(word: str, column: int, code: str, number: int, path: str) -> SheetError:
    meant = likely(word.lower(), EXAMPLES)
    problem = f"«{word[:30]}» begins no statement"
    expected = f"perhaps {meant}" if meant else "one of " + ", ".join(EXAMPLES)
    example = EXAMPLES[meant] if meant else EXAMPLES["joint"]
    return SheetError(number, column, problem, expected, example, shortened(code), path)


def _problem(slip: lark.UnexpectedInput, code: str, column: int, kind: str) -> tuple[str, str]:
    rest = code[column:]
    opened, closed = code.count("("), code.count(")")
    if opened != closed and (not rest.strip() or rest.lstrip()[0] in "()"):
        more = "opened" if opened > closed else "closed"
        return f"a bracket is {more} too often", "as many brackets closed as opened"
    if re.match(r",\d", rest) and re.search(r"\d$", code[:column]):
        return "a comma in a number", "a decimal point"
    if not rest.strip():
        return "the line ends too early", _expected(slip, kind)
    found = re.match(r"[\w'.]+|\S", rest.lstrip())
    stopped = found.group()[:30] if found else rest[:1]
    if re.fullmatch(r"(k|M)?N|kgf|lbf|kip|[mc]?m|ft|in|kNm|Nm|kg", stopped):
        return f"«{stopped}» after a value", "plain values; units stand once, as in «units kN, m»"
    if re.fullmatch(r"deg|degrees?|°", stopped):
        return f"«{stopped}» after a value", "plain values; angles are in degrees"
    meant = _meant(stopped.lower(), _able(slip))
    if meant:
        return f"«{stopped}» does not fit here", f"perhaps {meant}"
    return f"«{stopped}» does not fit here", _expected(slip, kind)


def _able(slip: lark.UnexpectedInput) -> set[str]:
    able = set(getattr(slip, "accepts", None) or getattr(slip, "expected", None) or ())
    return able | set(getattr(slip, "allowed", None) or ())


def _meant(word: str, able: set[str]) -> str | None:
    """Return the keyword that a wrong word most likely means where one may stand, else None."""
    if "TURN" in able:
        turns = ("clockwise", "anticlockwise")
        return _TURNS.get(word) or likely(word, turns)
    if "WAY" in able:
        ways = ("up", "down", "left", "right", "toward", "away")
        return next((way for way in ways if word.startswith(way)), None) or likely(word, ways)
    return None


def _expected(slip: lark.UnexpectedInput, kind: str) -> str:
    able = _able(slip)
    if kind in ("find", "marks") and "MINUS" in able and not able - _SIGNS - {"$END"}:
        return _ITEMS
    if "REACTIONS" in able or ({"AXIAL", "SHEAR"} & able):
        return _ITEMS
    if "NUMBER" in able:
        return "a value"
    if "NAME" not in able:
        able -= _SIGNS - (_DASHES if able <= _DASHES | {"$END"} else set())
    words = [said for name, said in _WORDS.items() if name in able]
    return " or ".join(dict.fromkeys(words)) or f"a whole {kind} statement"
