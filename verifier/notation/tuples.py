"""Several names given their values at once: `w, P1, P2 = 60, 450, 200`, as programs write it."""

import re
from collections.abc import Iterator

_NAME = r"[^\W\d]\w*(?:\.\w+)?"
_NUMBER = r"[-+−]?\d+(?:\.\d+)?"
_UNPACKED = re.compile(
    rf"\s*\(?(?P<names>{_NAME}(?:\s*,\s*{_NAME})+)\)?\s*=\s*"
    rf"[(\[]?(?P<values>{_NUMBER}(?:\s*,\s*{_NUMBER})+)[)\]]?\s*[;.]?\s*"
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


__all__ = ["unpacked"]
