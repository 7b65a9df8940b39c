"""Syntax slips answered by name: each label with its message and malformed examples."""

from dataclasses import dataclass

from verifier.notation.tokens import Tok


@dataclass(frozen=True)
class SlipKind:
    """A known slip: what is said of it, and lines that show it."""

    label: str
    message: str
    examples: tuple[str, ...]


SLIPS = (
    SlipKind(
        "unbalanced bracket",
        "a bracket is opened or closed without its partner",
        ("8(2.4 − 3 = 0", "A_y + 3) − 6 = 0", "T cos(30° − 4 = 0"),
    ),
    SlipKind(
        "missing operand",
        "something is missing beside this sign",
        ("A_y + = 6", "A_y − 3 × = 0", "A_y × / 3 = 4", "= = 6"),
    ),
    SlipKind("missing =", "no = between the two sides", ("By 45/8", "A_y 5.63 kN")),
    SlipKind(
        "unit for number",
        "a unit stands where a number should be",
        ("A_y = kN", "B_y × kN = 24"),
    ),
    SlipKind(
        "two decimal points",
        "a number has two decimal points",
        ("A_y = 2.5.3", "B_y = 12..4 kN"),
    ),
    SlipKind("missing operator", "two numbers stand side by side", ("A_y = 4.5 3", "2 3 B_y = 6")),
    SlipKind(
        "unknown character", "this character has no meaning here", ("A_y = 4 & 5", "A_y = 3 ? 4")
    ),
    SlipKind("too deep", "more brackets inside brackets than anyone writes", ()),
    SlipKind("too long", "longer than any line of a working", ()),
)
_MESSAGES = {slip.label: slip.message for slip in SLIPS}


class Slip(Exception):
    """Why an expression cannot be read: the plain column, a sentence, and the slip's label."""

    def __init__(self, at: int, reason: str = "", label: str = "") -> None:
        super().__init__(reason or _MESSAGES.get(label, label))
        self.at = at
        self.reason = reason or _MESSAGES.get(label, label)
        self.label = label


def unexpected(token: object, tokens: list[Tok]) -> Slip:
    """Name the slip behind the token at which the grammar stopped."""
    start = getattr(token, "start_pos", None)
    kind = getattr(token, "type", "$END")
    index = next((i for i, t in enumerate(tokens) if t.start == start and t.kind == kind), None)
    if index is None or kind == "$END":
        end = tokens[-1].end if tokens else 0
        return Slip(end, label="missing operand")
    before = tokens[index - 1].kind if index else ""
    if kind in ("BAD", "SOFT", "MARK", "BAR"):
        return Slip(tokens[index].start, label="unknown character")
    if kind == "UNIT":
        return Slip(tokens[index].start, label="unit for number")
    if kind in ("NUM",) and before in ("NUM", "UNIT"):
        return Slip(tokens[index].start, label="missing operator")
    return Slip(tokens[index].start, label="missing operand")
