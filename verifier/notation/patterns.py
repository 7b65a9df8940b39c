"""Patterns of words, made tolerant of the spaces that people leave."""

import re

_GAP = re.compile(r"(?<![\[-])(?<!\[-) (?=[^\]?])")


def loose(form: str) -> str:
    """Return a pattern in which any spaces may stand where one does, up to four for none."""
    return _GAP.sub(r"\\s+", form.replace(r"\s?", r"\s{0,4}"))
