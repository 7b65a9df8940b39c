"""Tokens made ready for the grammar: brackets checked, arguments of functions closed in."""

from collections.abc import Iterator

from verifier.notation.names import canonical
from verifier.notation.slips import Slip
from verifier.notation.tokens import Tok

DEEPEST = 60
LONGEST = 3000
_PAIRS = {")": "(", "]": "[", "}": "{", "⟧": "⟦"}
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_OPERAND_END = ("NUM", "NAME", "RPAR", "UNIT", "SUP", "COMPOSITE")


def ready(tokens: list[Tok]) -> list[Tok]:
    """Return the tokens as the grammar takes them. Raises `Slip` for what no grammar could take."""
    if len(tokens) > LONGEST:
        raise Slip(tokens[LONGEST].start, label="too long")
    tokens = _bars(tokens)
    _check(tokens)
    out: list[Tok] = []
    _Arguments(tokens, out).all()
    return out


def _check(tokens: list[Tok]) -> None:
    stack: list[Tok] = []
    before, earlier = "", ""
    for token in tokens:
        if token.kind == "LPAR":
            stack.append(token)
            if len(stack) > DEEPEST:
                raise Slip(token.start, label="too deep")
        elif token.kind == "RPAR":
            if not stack or (token.text in _PAIRS and _PAIRS[token.text] != stack[-1].text):
                raise Slip(token.start, label="unbalanced bracket")
            stack.pop()
        elif token.kind == "NUM" and before == "NUM" and earlier != "POW":
            raise Slip(token.start, label="missing operator")
        elif token.kind == "NUM" and before == "POINT" and earlier == "NUM":
            raise Slip(token.start, label="two decimal points")
        kind = "POINT" if token.kind == "SOFT" and token.text in ".," else token.kind
        before, earlier = kind, before
    if stack:
        raise Slip(stack[-1].start, label="unbalanced bracket")


def _bars(tokens: list[Tok]) -> list[Tok]:
    """Turn |x| into a function of what is inside; one bar alone is left and stops the reading."""
    bars = [i for i, t in enumerate(tokens) if t.kind == "BAR"]
    if not bars or len(bars) % 2:
        return tokens
    out = list(tokens)
    for offset, (one, two) in enumerate(zip(bars[::2], bars[1::2], strict=True)):
        first, last = tokens[one], tokens[two]
        out[one + offset] = Tok("LPAR", "|", first.start, first.end)
        out[two + offset] = Tok("RPAR", "|", last.start, last.end)
        out.insert(one + offset, Tok("FUNC", "abs", first.start, first.start))
    return out


class _Arguments:
    """Closes the argument of a function written without brackets: sin 30°, tan⁻¹ 3/4, √13."""

    def __init__(self, tokens: list[Tok], out: list[Tok]) -> None:
        self.tokens = tokens
        self.out = out
        self.at = 0

    def kind(self, ahead: int = 0) -> str:
        index = self.at + ahead
        return self.tokens[index].kind if index < len(self.tokens) else ""

    def take(self, count: int = 1) -> None:
        for token in self.tokens[self.at : self.at + count]:
            self.out.append(Tok("NUM", *_rest(token)) if token.kind == "COMPOSITE" else token)
        self.at += count

    def all(self) -> None:
        while self.at < len(self.tokens):
            if self.kind() == "FUNC":
                self.function(0)
            else:
                self.take()

    def function(self, depth: int) -> None:
        if depth > DEEPEST:
            raise Slip(self.tokens[self.at].start, label="too deep")
        name = self.tokens[self.at]
        if self.kind(1) in ("EQ", ""):
            self.out.append(Tok("NAME", *_rest(name)))  # `cos = 0.8`: a quantity so called
            self.at += 1
            return
        self.take()
        if self.kind() == "POW" and self.kind(1) == "NUM":
            self.power(1, 1)
        elif [self.kind(i) for i in range(4)] == ["POW", "LPAR", "NUM", "RPAR"]:
            self.power(2, 3)
        elif self.kind() == "SUP":
            self.take()
        if self.kind() in ("LPAR", ""):
            return
        here = self.tokens[self.at].start
        self.out.append(Tok("LPAR", "", here, here))
        if self.kind() == "FUNC":
            self.function(depth + 1)
        else:
            self.argument(name)
        end = self.out[-1].end
        self.out.append(Tok("RPAR", "", end, end))

    def power(self, digits: int, last: int) -> None:
        """Take sin^2 as sin², the grammar's one form."""
        raised = self.tokens[self.at + digits].text.translate(_RAISED)
        end = self.tokens[self.at + last].end
        self.out.append(Tok("SUP", raised, self.tokens[self.at].start, end))
        self.at += last + 1

    def argument(self, function: Tok) -> None:
        text = function.text
        inverse = text[:1].lower() in ("a", "i") or "-" in text or "⁻" in text
        if self.kind() == "SIGN":
            self.take()
        first = self.kind()
        if first not in ("NUM", "NAME"):
            raise Slip(function.end, f"{function.text} has no angle or number", "missing operand")
        self.take()
        if first == "NUM" and self._angle_name():
            self.take()
        if self.kind() == "UNIT" and function.text != "√":
            self.take()
        if self.kind() == "DIV" and self.kind(1) in ("NUM", "NAME") and (inverse or self._pi()):
            self.take(2)
            if self.kind() == "UNIT" and not inverse:
                self.take()

    def _angle_name(self) -> bool:
        """Tell whether a Greek letter stands right behind a number: sin 2θ."""
        if self.kind() != "NAME":
            return False
        token = self.tokens[self.at]
        return (
            token.start == self.tokens[self.at - 1].end and "α" <= canonical(token.text)[:1] <= "ω"
        )

    def _pi(self) -> bool:
        return self.out[-1].text in ("π", "pi")


def _rest(token: Tok) -> tuple[str, int, int]:
    return token.text, token.start, token.end


def operand_end(token: Tok) -> bool:
    """Tell whether a token can end an operand."""
    return token.kind in _OPERAND_END


def arguments(tokens: list[Tok]) -> Iterator[Tok]:
    """Yield the tokens as the grammar takes them (see `ready`)."""
    yield from ready(tokens)
