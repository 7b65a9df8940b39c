"""How an answer is written: its unit, its sense, its figures. Charged only where a scheme says."""

import re

from verifier.findings import Answer, Finding, LineVerdict
from verifier.marking.linking import answer_span
from verifier.marking.scheme import Scheme

_UNIT = re.compile(
    r"[\s.\[(\\,{;]*(?:mathrm\{|text\{)?(?:[kMG]?N|da?N|kgf?|lb|kip|k\b|#|t\b|ton|[кМ]?Н)"
)
_SENSE = re.compile(
    r"\b[TC]\b|tens|compr|tie\b|strut|thrust|zug|druck|tracci|trazione|traction|rozci|ściśk"
    r"|push|pull|tirante|puntone|[+−-]\s*\d",
    re.IGNORECASE,
)
_NEAR = 40
"""Characters after a number in which its unit is looked for."""


def answer_faults(answer: Answer, line: LineVerdict, scheme: Scheme) -> list[Finding]:
    """Return what an answer's line lacks, as findings of kinds that only a scheme charges for."""
    found: list[Finding] = []
    span = answer_span(answer, line)
    if span is None or answer.written == 0:
        return found
    written = line.text[span[0] : span[1]]
    rules = (
        ("unit-missing", not _UNIT.match(line.text[span[1] :][:_NEAR]), "the answer has no unit"),
        ("sense-missing", _needs_sense(answer, line), "tension or compression is not said"),
        ("figures", _too_few(written, scheme.figures), f"fewer than {scheme.figures} figures"),
    )
    for kind, holds, message in rules:
        if holds and scheme.penalty(kind).loses != "nothing":
            found.append(_finding(kind, line, span, message, answer.item))
    return found


def _needs_sense(answer: Answer, line: LineVerdict) -> bool:
    return "-" in answer.item and " " not in answer.item and not _SENSE.search(line.text)


def _too_few(written: str, figures: int) -> bool:
    digits = re.sub(r"\D", "", re.split(r"[x×·]", written)[0]).lstrip("0")
    return 0 < len(digits) < figures


def _finding(
    kind: str, line: LineVerdict, span: tuple[int, int], message: str, item: str
) -> Finding:
    text = line.text[span[0] : span[1]]
    return Finding(kind, line.line, span, text, item, "", message, line.box)
