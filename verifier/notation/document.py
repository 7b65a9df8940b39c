"""The frame of a document: what of a file is working, and what LaTeX or Markdown sets around it."""

import re
from collections.abc import Iterator

from verifier.notation.latex import Macros

_DOCUMENT = re.compile(
    r"\\documentclass|\\begin\{(?:document|align|equation|gather|multline|eqnarray)"
)
_COMMAND = re.compile(
    r"\\(?:re"
    r"|provide)?newcommand\*?\s*\{?\\([A-Za-z]+)\}?\s*(?:\[(\d)\])?\s*\{((?:[^{}]"
    r"|\{(?:[^{}]|\{[^{}]*\})*\})*)\}"
    r"|\\def\s*\\([A-Za-z]+)()\{((?:[^{}]|\{(?:[^{}]|\{[^{}]*\})*\})*)\}"
)
_LABEL = re.compile(r"\\label\{([^{}]{1,80})\}")
_TAG = re.compile(r"\\tag\*?\{([^{}]{1,12})\}")
_SKIPPED = re.compile(
    r"\\(begin|end)\{(tikzpicture|figure|verbatim|lstlisting|comment|filecontents"
    r"|thebibliography)\*?\}"
)
_MATRIX = re.compile(r"\\(begin|end)\{[pbvBV]?(?:small)?matrix\*?\}")
_DEFINITION = re.compile(
    r"\s*\\(?:(?:re|provide)?newcommand|def|usepackage|documentclass|sisetup|title"
    r"|author|date|DeclareMathOperator"
    r"|usetikzlibrary|geometry|pagestyle|setlength|bibliography)\b"
)
_FENCE = re.compile(r"\s*(?:```|~~~(?!~))")
_RULE = re.compile(r"\s*(?:[-*_=]\s*){3,}$|\s*\|?(?:\s*:?-{2,}:?\s*\|)+\s*(?::?-{2,}:?\s*)?$")
_PAGE = re.compile(
    (
        r"\s*(?:[-–—]\s*\d{1,3}\s*[-–—]|(?:page|p\.|Seite|pagina|página"
        r"|str\.)\s*\d{1,3}(?:\s*(?:of|/|von|de|di|z)\s*\d{1,3})?"
        r"|\d{1,3}\s*/\s*\d{1,3})\s*$"
    ),
    re.I,
)
_PERSON = re.compile(
    (
        r"\s*(?:name|student(?: (?:no\.?|number|id))?|date|class|group|sheet|checked by"
        r"|by|designed by|job(?: no\.?)?|Datum|Matr(?:ikel)?\.?-?(?:nr\.?|nummer)?|nom"
        r"|fecha|nombre|cognome|imię|klasse)\s*[:.]\s*\S.*"
    ),
    re.I,
)
_MOST_MACROS = 100
_LONGEST_FRAME = 400


def is_latex(text: str) -> bool:
    """Tell whether a text is a LaTeX document or part of one."""
    return "\\" in text and _DOCUMENT.search(text) is not None


def macros(text: str) -> Macros:
    """Return the macros that a document defines and the numbers of its labels, in order."""
    bodies: dict[str, tuple[int, str]] = {}
    for match in _COMMAND.finditer(text[:200_000]):
        name, count, body = (
            (match.group(1), match.group(2), match.group(3))
            if match.group(1)
            else (match.group(4), "", match.group(6))
        )
        if len(bodies) < _MOST_MACROS and len(body) < 300:
            bodies[name] = (int(count or 0), body)
    labels = {name: str(number) for number, name in enumerate(_LABEL.findall(text), 1)}
    return Macros(bodies, labels)


def rows(lines: list[str], latex: bool) -> Iterator[tuple[int, str, str]]:
    """Yield (number from 1, row, kind) for every row that is not blank; kind is line or frame."""
    body = not latex or not any("\\begin{document}" in line for line in lines)
    skipped, nested = "", 0
    for number, row in enumerate(lines, 1):
        if "\\begin{document}" in row and latex:
            body = True
            yield number, row, "frame"
            continue
        mark = _SKIPPED.search(row) if "\\" in row else None
        braces = _MATRIX.findall(row) if "matrix" in row else []
        hidden = bool(skipped) or nested > 0 or bool(braces)  # numbers in columns claim nothing
        nested += braces.count("begin") - braces.count("end")
        if mark:
            skipped = mark.group(2) if mark.group(1) == "begin" else ""
            hidden = True
        if not row.strip():
            continue
        yield number, row, "frame" if hidden or not body or _is_frame(row, latex) else "line"


def _is_frame(row: str, latex: bool) -> bool:
    if latex and (_DEFINITION.match(row) or row.lstrip().startswith("%")):
        return True
    row = row.lstrip()[:_LONGEST_FRAME]
    return bool(
        _FENCE.match(row)
        or _RULE.match(row)
        or _PAGE.match(row)
        or (_PERSON.match(row) and "=" not in row)
    )
