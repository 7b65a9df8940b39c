"""Reading a marking scheme from its TOML file, or making one of the sheet's `marks`.

```toml
title = "Slip hoist bracket"
follow-through = true        # what follows correctly from a fault keeps its marks
once-per-fault = true        # the same fault in the same term costs once
working-needed = false       # true: no method marks for an answer without working
cap = 20                     # no script gets more
faults-cost-at-most = 8      # all faults of a script together
round-to = 0.5               # of the total, halves up
figures = 3                  # significant figures that an answer needs (see penalties.figures)

[marks]                      # for items of the sheet's `find`; without it, the sheet's own
"reactions" = 4              # shared evenly; one of each share is the answer's, or less
"P-R" = 3                    # one for the answer, the rest for the method
"R-S" = { method = 2, answer = 1 }

[penalties]                  # only what differs from the usual practice
sign = "answer"              # answer | method | all | nothing | a number of marks
missing-force = { loses = "method", once = true, at-most = 3 }
unit = { loses = 1, once = true }
rounding = 0.5
unit-missing = 0.5           # an answer written without its unit
sense-missing = "nothing"    # a member's answer without tension or compression
figures = "nothing"          # an answer with fewer figures than `figures`
```
"""

import math
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from verifier.errors import FileError
from verifier.marking.scheme import USUAL, Marks, Penalty, Scheme, expand, split
from verifier.structure.model import Structure

_LARGEST = 1_000_000
_SWITCHES = ("follow-through", "once-per-fault", "working-needed")
_NUMBERS = ("cap", "faults-cost-at-most", "round-to", "figures")
_KEYS = ("title", *_SWITCHES, *_NUMBERS, "marks", "penalties")
_WORDS = ("answer", "method", "all", "nothing")


def scheme_of(structure: Structure) -> Scheme:
    """Return the usual practice with the sheet's `marks`; two marks an item where it has none."""
    items = structure.find
    given = {name: split(float(number)) for name, number in structure.marks.items()}
    whole = given or {item: Marks(1.0, 1.0) for item in items}
    shares = expand(whole.items(), (*items, *_others(given, items)), _members(structure))
    return Scheme(items=shares, title=structure.title)


def read_scheme(path: Path, structure: Structure) -> Scheme:
    """Read a scheme file. Raises `FileError` with what is wrong and what would be right."""
    data = _load(path)
    _known(path, "the scheme", data, _KEYS)
    usual = scheme_of(structure)
    chosen: dict[str, Any] = {"title": str(data.get("title", structure.title))}
    for key in _SWITCHES:
        if key in data:
            chosen[key.replace("-", "_")] = _switch(path, key, data[key])
    for key in _NUMBERS:
        if key in data:
            chosen[key.replace("-", "_")] = _number(path, key, data[key])
    chosen["figures"] = int(chosen.get("figures", 0))
    if "marks" in data:
        chosen["items"] = _items(path, data["marks"], structure)
    penalties = dict(USUAL)
    for kind, said in _table(path, "penalties", data.get("penalties", {})).items():
        _known(path, "penalties", {kind: said}, tuple(USUAL))
        penalties[kind] = _penalty(path, kind, said)
    return Scheme(**({"items": usual.items} | chosen), penalties=penalties)


def _load(path: Path) -> dict[str, Any]:
    try:
        if path.stat().st_size > _LARGEST:
            raise FileError(str(path), "is too large for a marking scheme")
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise FileError(str(path), f"cannot be opened ({error.strerror})") from None
    except UnicodeDecodeError:
        raise FileError(str(path), "is not UTF-8 text", "a marking scheme is TOML") from None
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise FileError(str(path), f"is not TOML: {error}", 'as in «"P-R" = 3»') from None


def _items(path: Path, said: Any, structure: Structure) -> dict[str, Marks]:
    marks = {
        _spelt(name): _marks(path, name, value)
        for name, value in _table(path, "marks", said).items()
    }
    items = (*structure.find, *(name for name in structure.marks if name not in structure.find))
    try:
        return expand(marks.items(), tuple(items), _members(structure))
    except KeyError as error:
        asked = ", ".join(items[:8]) + (", …" if items[8:] else "")
        raise FileError(str(path), f"{error} is no item of the sheet", f"it asks {asked}") from None


def _marks(path: Path, name: str, value: Any) -> Marks:
    if isinstance(value, dict):
        _known(path, name, value, ("method", "answer"))
        parts = [_number(path, name, value.get(part, 0)) for part in ("method", "answer")]
        return Marks(*parts)
    return split(_number(path, name, value))


def _penalty(path: Path, kind: str, said: Any) -> Penalty:
    if not isinstance(said, dict):
        said = {"loses": said}
    _known(path, kind, said, ("loses", "once", "at-most"))
    loses = said.get("loses", USUAL[kind].loses)
    once = _switch(path, kind, said.get("once", USUAL[kind].once))
    most = None if "at-most" not in said else _number(path, kind, said["at-most"])
    if isinstance(loses, str):
        if loses not in _WORDS:
            wanted = f"one of {', '.join(_WORDS)} or a number"
            raise FileError(str(path), f"{kind} cannot lose {loses!r}", wanted)
        return Penalty(loses, 0.0, once, most)
    return Penalty("marks", _number(path, kind, loses), once, most)


def _others(given: Mapping[str, Marks], items: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name for name in given if name not in items and re.search(r"[- ]", name))


def _members(structure: Structure) -> tuple[str, ...]:
    names = {member.name for member in structure.members}
    return tuple(item for item in structure.find if item in names)


def _spelt(name: str) -> str:
    return " ".join(name.split())


def _known(path: Path, where: str, data: Mapping[str, Any], keys: tuple[str, ...]) -> None:
    for key in data:
        if key not in keys:
            wanted = f"one of {', '.join(keys)}"
            raise FileError(str(path), f"{where}: {key!r} is not known", wanted)


def _table(path: Path, key: str, value: Any) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise FileError(str(path), f"{key} is not a table", f"write it under [{key}]")
    return value


def _switch(path: Path, key: str, value: Any) -> bool:
    if not isinstance(value, bool):
        raise FileError(str(path), f"{key} = {value!r}", "write true or false")
    return value


def _number(path: Path, key: str, value: Any) -> float:
    good = isinstance(value, int | float) and not isinstance(value, bool)
    if not good or not math.isfinite(value) or not 0 <= value <= 10_000:
        raise FileError(str(path), f"{key} = {value!r}", "write a number from 0 to 10,000")
    return float(value)
