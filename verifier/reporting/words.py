"""The words of the reports, in every language there is a catalogue for.

A language is one file `languages/CODE.toml`: sections of sentences under short names, with the
places that are filled in between braces. English is the measure; another file that lacks a
sentence falls back on it. Adding a language touches no code.
"""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from verifier.errors import UsageError

_FOLDER = Path(__file__).resolve().parent / "languages"
DEFAULT = "en"
_ANY = r".{1,300}?"
NAMES = {"n": r"[^\s,]{1,80}(?: [xy])?", "m": r"[^\s,]{1,80}", "l": r".{1,300}?"}
"""The places of a template that hold a user's own names, which no language changes."""


@dataclass(frozen=True)
class Words:
    """One language's sentences; calling it fills one in.

    >>> words("en")("check.headline.agrees", working="hoist.txt", count=3).startswith("hoist.txt")
    True
    """

    code: str
    sentences: dict[str, str]
    phrases: dict[str, str]
    templates: tuple[tuple[re.Pattern[str], str], ...] = ()

    def __call__(self, key: str, **fields: Any) -> str:
        """Return the sentence named `key` with its places filled in."""
        return self.sentences[key].format(**fields)

    def count(self, key: str, count: int, **fields: Any) -> str:
        """Return the sentence `key.one` or `key.many`, as the count asks for."""
        return self(f"{key}.{'one' if count == 1 else 'many'}", count=count, **fields)

    def phrase(self, text: str) -> str:
        """Return what another room says (a free body, a sense, an item …) in this language.

        Names that a user gave stay; so does what the catalogue does not know.
        """
        whole = self.sentence(text)
        if whole is not None:
            return whole
        for phrase, other in self.phrases.items():
            if phrase in text:
                alone = rf"(?<!\w){re.escape(phrase)}(?!\w)"
                text = re.sub(alone, other.replace("\\", r"\\"), text)
        return text

    def note(self, text: str) -> str:
        """Return a note line by line: what the catalogue knows as a whole, the rest untouched."""
        lines = text.split("\n")
        return "\n".join(self.phrases.get(one) or self.sentence(one) or one for one in lines)

    def sentence(self, text: str) -> str | None:
        """Return a sentence of another room in this language, None where there is none for it."""
        for pattern, other in self.templates:
            match = pattern.fullmatch(text)
            if match:
                parts = match.groupdict()
                said = other.format(
                    **{
                        key: part if key in NAMES else self.phrase(part)
                        for key, part in parts.items()
                    }
                )
                return said[:1].upper() + said[1:] if text.endswith(".") else said
        return None

    def get(self, key: str) -> str | None:
        """Return the bare sentence, or None where the catalogue has none of that name."""
        return self.sentences.get(key)

    def join(self, items: list[str]) -> str:
        """Return items joined as a person says them: 'a, b and c'."""
        if len(items) < 2:
            return "".join(items)
        return ", ".join(items[:-1]) + f" {self('list.and')} " + items[-1]

    def ranges(self, numbers: list[int]) -> str:
        """Return line numbers as a person says them: '7, 9 to 12 and 15'."""
        runs: list[list[int]] = []
        for number in sorted(set(numbers)):
            if runs and number == runs[-1][-1] + 1:
                runs[-1].append(number)
            else:
                runs.append([number])
        said: list[str] = []
        for run in runs:
            if len(run) > 2:
                said.append(f"{run[0]} {self('list.to')} {run[-1]}")
            else:
                said.extend(str(number) for number in run)
        return self.join(said)


def languages() -> tuple[str, ...]:
    """Return the codes of the languages that have a catalogue, English first."""
    codes = sorted(file.stem for file in _FOLDER.glob("*.toml"))
    return (DEFAULT, *(code for code in codes if code != DEFAULT))


@cache
def words(code: str = DEFAULT) -> Words:
    """Return a language's words; raises `UsageError` for a language without a catalogue."""
    if code not in languages():
        raise UsageError(f"there is no language {code!r}", f"there are {', '.join(languages())}")
    sentences = catalogue(DEFAULT)
    if code != DEFAULT:
        sentences = sentences | catalogue(code)
    return Words(code, sentences, phrases(code), templates(code))


def catalogue(code: str) -> dict[str, str]:
    """Return a language's own sentences under dotted names."""
    return dict(
        _flat(
            {key: part for key, part in _file(code).items() if key not in ("phrases", "templates")},
            "",
        )
    )


def phrases(code: str) -> dict[str, str]:
    """Return a language's words for the phrases of other rooms, longest first."""
    known: dict[str, str] = _file(code).get("phrases", {})
    return dict(sorted(known.items(), key=lambda pair: -len(pair[0])))


def templates(code: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Return a language's whole sentences for those of other rooms, as patterns."""
    known: dict[str, str] = _file(code).get("templates", {})
    return tuple((_pattern(text), other) for text, other in known.items())


def _pattern(template: str) -> re.Pattern[str]:
    pieces = re.split(r"\{(\w+)\}", template)
    text = [
        rf"(?P<{piece}>{NAMES.get(piece, _ANY)})" if number % 2 else re.escape(piece)
        for number, piece in enumerate(pieces)
    ]
    return re.compile("".join(text))


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
