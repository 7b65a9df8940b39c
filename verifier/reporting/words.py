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


@dataclass(frozen=True)
class Words:
    """One language's sentences; calling it fills one in.

    >>> words("en")("check.headline.agrees", working="hoist.txt", count=3).startswith("hoist.txt")
    True
    """

    code: str
    sentences: dict[str, str]
    phrases: dict[str, str]

    def __call__(self, key: str, **fields: Any) -> str:
        """Return the sentence named `key` with its places filled in."""
        return self.sentences[key].format(**fields)

    def count(self, key: str, count: int, **fields: Any) -> str:
        """Return the sentence `key.one` or `key.many`, as the count asks for."""
        return self(f"{key}.{'one' if count == 1 else 'many'}", count=count, **fields)

    def phrase(self, text: str) -> str:
        """Return a phrase of the rooms before (a free body, a sense …) in this language.

        What the catalogue's `phrases` do not hold stays as it is.
        """
        for phrase, other in self.phrases.items():
            if phrase in text:
                whole = rf"(?<!\w){re.escape(phrase)}(?!\w)"
                text = re.sub(whole, other.replace("\\", r"\\"), text)
        return text

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
    return Words(code, sentences, phrases(code))


def catalogue(code: str) -> dict[str, str]:
    """Return a language's own sentences under dotted names."""
    return dict(_flat({key: part for key, part in _file(code).items() if key != "phrases"}, ""))


def phrases(code: str) -> dict[str, str]:
    """Return a language's words for the phrases of other rooms, longest first."""
    known: dict[str, str] = _file(code).get("phrases", {})
    return dict(sorted(known.items(), key=lambda pair: -len(pair[0])))


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
