"""Several numbers at once: `w, P1, P2 = 60, 450, 200`, as programs write it, and vectors."""

import re
from collections.abc import Iterator

_NAME = r"[^\W\d]\w*(?:\.\w+)?"
_NUMBER = r"[-+−]?\d+(?:\.\d+)?"
_UNPACKED = re.compile(
    rf"\s*\(?(?P<names>{_NAME}(?:\s*,\s*{_NAME})+)\)?\s*=\s*"
    rf"[(\[]?(?P<values>{_NUMBER}(?:\s*,\s*{_NUMBER})+)[)\]]?\s*[;.]?\s*"
)
_FIGURES = r"(?:[\d\s.+\-−*/·×°√]|,(?=\d)|sin|cos|sqrt)"
_TUPLE = (
    rf"[-+−]?\s?\({_FIGURES}{{1,40}}(?:(?:,\s|;){_FIGURES}{{1,40}}){{1,2}}\)(?:\s?[A-Za-z]{{1,3}})?"
)
_PAIRS = re.compile(  # A = -(-199.4 - 300, 478.6 - 1373.4) = (499.4, 894.8) N
    rf"(?<![\w.])[^\W\d]\w{{0,8}}\s?=\s?{_TUPLE}(?:\s?=\s?{_TUPLE}){{0,3}}(?=\s*(?:[,;.]|$))"
)
_EACH_NAME, _EACH_VALUE = re.compile(_NAME), re.compile(_NUMBER)


def unpacked(text: str) -> Iterator[str]:
    """Yield `name = value` for each of several names, each as long as the line; else nothing."""
    match = _UNPACKED.fullmatch(text)
    if match is None:
        return
    names = list(_EACH_NAME.finditer(text, *match.span("names")))
    values = list(_EACH_VALUE.finditer(text, *match.span("values")))
    if len(names) != len(values):
        return
    equals = text.index("=")
    for name, value in zip(names, values, strict=True):
        row = [" "] * len(text)
        row[name.start() : name.end()] = name.group()
        row[equals] = "="
        row[value.start() : value.end()] = value.group()
        yield "".join(row)


def without_pairs(text: str) -> str:
    """Blank out a vector told by its parts; they are judged where they are put in."""
    return _PAIRS.sub(lambda m: " " * len(m.group()), text)


__all__ = ["unpacked", "without_pairs"]
