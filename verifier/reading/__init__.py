"""A picture → lines of text, each with its place and how sure the reading is."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

# Before numpy is loaded: the readers multiply many small matrices, for which threads wait for each
# other, on a busy machine several times as long as they work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from verifier.reading.doubt import as_text, from_text

if TYPE_CHECKING:
    from verifier.notation.tree import Names
    from verifier.reading.lines import Reading
    from verifier.reading.read import Kind

__all__ = ["as_text", "from_text", "read_picture"]


def read_picture(
    path: str | Path, names: "Names | None" = None, kind: "Kind" = "auto"
) -> "Reading":
    """Read a picture or PDF of a working: see `verifier.reading.read.read_picture`."""
    from verifier.reading.read import read_picture as read

    return read(path, names, kind)
