"""The only module that knows where the grammar files lie; each parser is built once."""

from functools import cache
from pathlib import Path
from typing import Any

import lark

_PACKAGE = Path(__file__).resolve().parent


def folder() -> Path:
    """Return the folder of the `.lark` files: inside the package (a wheel) or beside it."""
    inside = _PACKAGE / "grammar"
    return inside if inside.is_dir() else _PACKAGE.parent / "grammar"


@cache
def parser(name: str, **options: Any) -> lark.Lark:
    """Build the LALR parser of `grammar/NAME.lark`, once a process.

    Raises `OSError` where the file is missing and lark's `GrammarError` where it is wrong.
    """
    text = (folder() / f"{name}.lark").read_text(encoding="utf-8")
    settings = {"parser": "lalr", "propagate_positions": True, "maybe_placeholders": False}
    return lark.Lark(text, import_paths=[str(folder())], **(settings | options))
