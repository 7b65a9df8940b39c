"""A whole line → its parts: labels, headings, equations, marks, words, each in its place."""

import re
from dataclasses import replace

from verifier.notation import render
from verifier.notation.bullets import TAG_NEAR
from verifier.notation.context import Setting
from verifier.notation.latex import looks_like, translate
from verifier.notation.markup import typed
from verifier.notation.names import Lexicon, lexicon
from verifier.notation.source import Source
from verifier.notation.tree import Line, Names, Part, Prose, Relation, Unread
from verifier.notation.walker import LineReader

LONGEST = 2_000
_REPEATED = re.compile(r"([^\s])\1{40}")


def read_line(text: str, number: int, names: Names) -> Line:
    """Read one written line into its parts; never raises for what is written.

    `number` counts lines from 1. Spans are 0-based columns of `text`. Top-level parts stand in
    order and do not overlap, but for `Struck` parts, which may lie inside a `Relation` (they come
    after it). What has no meaning becomes `Unread`, with the column where understanding stopped.

    >>> read_line("Ax + 3 = 0", 1, Names()).reads_as
    'Ax + 3 = 0'
    """
    return read_source(translate(text) if looks_like(text) else typed(text), number, names)


def read_source(
    source: Source,
    number: int,
    names: Names,
    setting: Setting = Setting(),  # noqa: B008 — frozen
    carried: bool = False,
) -> Line:
    """Read a line in plain characters; `carried` where the line above ended with an `=`."""
    if len(source.text) > LONGEST or _REPEATED.search(source.text):
        return Line(number, source.line, (_too_long(source),))
    reader = LineReader(source, lexicon(names), setting, carried)
    parts = tuple(reader.run())
    if not setting.tagged and TAG_NEAR.search(source.text.rstrip()):
        parts = _or_numbered(parts, source, lexicon(names), setting, carried)
    return Line(number, source.line, parts, render.line(parts))


def _or_numbered(
    parts: tuple[Part, ...], source: Source, lex: Lexicon, setting: Setting, carried: bool
) -> tuple[Part, ...]:
    """Keep beside `= 14 (1)`, read as a product, the reading in which (1) numbers the equation."""
    last = parts[-1] if parts else None
    if not isinstance(last, Relation) or last.tag:
        return parts
    other = LineReader(source, lex, replace(setting, tagged=True), carried).run()
    numbered = other[-1] if other else None
    if not isinstance(numbered, Relation) or not numbered.tag:
        return parts
    return (*parts[:-1], replace(last, others=(*last.others, numbered)))


def _too_long(source: Source) -> Part:
    """Return a line that nobody works by hand: a long paragraph is words, the rest stays unread."""
    whole = (0, len(source.line))
    if "=" not in source.text and not _REPEATED.search(source.text):
        return Prose(whole)
    return Unread(whole, 0, "longer than any line of a working", "too long")
