"""The files of the languages: read once each, as sentences, phrases and patterns."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).resolve().parent / "languages"
_BY_ENGLISH = ("phrases", "templates", "messages")
DEFAULT = "en"
_ANY = r".{1,300}?"
NAMES = {"n": r"[^\s,]{1,80}(?: [xy])?", "m": r"[^\s,]{1,80}", "l": r".{1,300}?"}
"""The places of a template that hold a user's own names, which no language changes."""


def languages() -> tuple[str, ...]:
    """Return the codes of the languages that have a catalogue, English first."""
    codes = sorted(file.stem for file in _FOLDER.glob("*.toml"))
    return (DEFAULT, *(code for code in codes if code != DEFAULT))


def catalogue(code: str) -> dict[str, str]:
    """Return a language's own sentences under dotted names."""
    return dict(
        _flat(
            {key: part for key, part in _file(code).items() if key not in _BY_ENGLISH},
            "",
        )
    )


def phrases(code: str) -> dict[str, str]:
    """Return a language's words for the phrases of other rooms, longest first."""
    known: dict[str, str] = _file(code).get("phrases", {})
    return dict(sorted(known.items(), key=lambda pair: -len(pair[0])))


def messages(code: str) -> dict[str, str]:
    """Return the program's own sentences in a language under their English."""
    return dict(_file(code).get("messages", {}))


def forms(known: Mapping[str, str]) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Return the sentences among them whose places are filled in before they are looked up."""
    return tuple((_pattern(text), other) for text, other in known.items() if _is_form(text))


def templates(code: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Return a language's whole sentences for those of other rooms, as patterns."""
    known: dict[str, str] = _file(code).get("templates", {})
    return tuple((_pattern(text), other) for text, other in known.items())


def _is_form(text: str) -> bool:
    """Say whether all places have short names: those with long ones are filled in by `text`."""
    places = re.findall(r"\{([^}]*)\}", text)
    return bool(places) and all(re.fullmatch(r"[a-z]\d?", place) for place in places)


def _pattern(template: str) -> re.Pattern[str]:
    pieces = re.split(r"\{(\w+)\}", template)
    text = [
        rf"(?P<{piece}>{NAMES.get(piece, _ANY)})" if number % 2 else re.escape(piece)
        for number, piece in enumerate(pieces)
    ]
    return re.compile("".join(text))


@cache
def _file(code: str) -> dict[str, Any]:
    with (_FOLDER / f"{code}.toml").open("rb") as file:
        return tomllib.load(file)


def _flat(table: dict[str, Any], before: str) -> list[tuple[str, str]]:
    flat: list[tuple[str, str]] = []
    for key, entry in table.items():
        if isinstance(entry, dict):
            flat += _flat(entry, f"{before}{key}.")
        else:
            flat.append((before + key, str(entry)))
    return flat
