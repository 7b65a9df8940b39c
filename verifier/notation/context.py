"""What the reading of a clause knows of its line and of the whole working."""

from dataclasses import dataclass

from verifier.notation.names import Lexicon
from verifier.notation.numbers import Comma
from verifier.notation.source import Source


@dataclass(frozen=True)
class Setting:
    """What the whole working tells of its lines.

    `comma` is how commas are used in numbers; `tagged` where `(1)` behind one space at a line's end
    is an equation's number; `bulleted` where `- ` at the start of lines sets a list, `listed` where
    it surely does, and `points` are the other characters that do; `lettered` where (a), (b), … are
    the numbers of equations, and `counted` where `(1)`, `(2)` or `(I)`, `(II)` before them are.
    """

    comma: Comma = "open"
    tagged: bool = False
    bulleted: bool = False
    listed: bool = False
    points: str = ""
    lettered: bool = False
    counted: bool = False


@dataclass(frozen=True)
class Context:
    """What the reading of a clause needs to know of its line and working."""

    source: Source
    lex: Lexicon
    comma: Comma = "open"
    labelled: bool = False
    closing: bool = False
    tag: str = ""
    follows: bool = False
    listed: bool = False
    carried: bool = False
