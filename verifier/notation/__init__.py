"""One written line → a tree in which every node knows its place in the source."""

from verifier.notation.lines import read_line
from verifier.notation.names import dress, likely
from verifier.notation.working import read_working

__all__ = ["dress", "likely", "read_line", "read_working"]
