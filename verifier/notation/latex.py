"""A line of LaTeX → plain characters, each with its place in the source as typed."""

import re

from verifier.notation import source as sources
from verifier.notation.latex_tree import NO_MACROS, Macros, parsed
from verifier.notation.latex_writer import Writer
from verifier.notation.source import Source

__all__ = ["Macros", "looks_like", "translate"]

_LOOKS = re.compile(r"\{,\}|\\[a-zA-Z,;:!\\\[(]|\$[^$]+\$|\$\$")
_TABLE = re.compile(r"[^\\]&\s*[^\s+-].*[^\\]&\s*[^\s+-]")


def looks_like(line: str) -> bool:
    """Tell whether a line carries LaTeX."""
    return ("\\" in line or "$" in line or "{,}" in line) and _LOOKS.search(line) is not None


def translate(line: str, macros: Macros = NO_MACROS) -> Source:
    """Return a line of LaTeX in plain characters with the map to its source.

    Braces without partners are closed at the end or left out; what nests deeper than anyone writes
    is taken as plain text.
    """
    tree = parsed(line)
    if tree is None:
        return sources.plain(line)
    writer = Writer(
        macros, len(line), bool(_TABLE.search(line)) and "=" not in line, _open_brace(line)
    )
    writer.items(tree.children)
    text = "".join(writer.text).translate(sources.PLAIN)
    return sources.squeeze(Source(line, text, tuple(writer.starts), tuple(writer.ends)))


def _open_brace(line: str) -> bool:
    """Tell whether a brace made large stands alone in a line, as beside several equations."""
    return "\\right." in line or "\\left." in line or ("\\right" in line) != ("\\left" in line)
