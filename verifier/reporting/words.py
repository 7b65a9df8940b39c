"""The words of everything that is shown, in every language there is a catalogue for.

A language is one file `languages/CODE.toml`: sections of sentences under short names, with the
places that are filled in between braces. English is the measure; another file that lacks a
sentence falls back on it. What the rooms before say (errors, help, marks …) stays English in the
code, and its English is the key: `[messages]`, `[templates]` and `[phrases]` of the other language.
Adding a language touches no code.
"""

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from verifier.errors import UsageError
from verifier.findings import begun
from verifier.reporting.catalogue import (
    DEFAULT,
    NAMES,
    catalogue,
    forms,
    languages,
    messages,
    phrases,
    templates,
)

__all__ = ["DEFAULT", "Words", "language_of", "languages", "spoken", "use", "words"]

_spoken = DEFAULT
_SENTENCES = re.compile(r"(?<=\.) (?=[A-Z])")
_DECIMAL = re.compile(r"(?<=\d),(?=\d)")
_HELD = "\ue000"
_LONGEST = 2_000
"""Characters of a message beyond which it is not looked up."""


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

    def text(self, english: str, **fields: Any) -> str:
        """Return a sentence of the program, its English being the key, with its places filled in.

        >>> words("de").text("nothing to go back to")
        'es gibt nichts, wohin es zurückgeht'
        """
        said = self.messages.get(english, english)
        return said.format(**fields) if fields else said

    def many(self, count: int, one: str, more: str, **fields: Any) -> str:
        """Return the one sentence or the other, as the count asks for; `{count}` is its place."""
        return self.text(one if count == 1 else more, count=count, **fields)

    def message(self, english: str) -> str:
        """Return an English sentence whose places are filled in already (an error's, a note's).

        Names and numbers in it stay; places called `w…` hold sentences and `p…` phrases, which
        are told likewise.
        """
        if self.code == DEFAULT or len(english) > _LONGEST:
            return english
        plain = english[:1].lower() + english[1:]
        whole = self.messages.get(english) or self.phrases.get(english) or self.messages.get(plain)
        return whole or self._filled(english) or self.sentence(english) or english

    def _filled(self, english: str) -> str | None:
        for pattern, other in self._message_forms:
            match = pattern.fullmatch(english)
            if match:
                parts = match.groupdict()
                told = {key: self._place(key, part) for key, part in parts.items()}
                return other.format(**told)
        return None

    def _place(self, key: str, part: str) -> str:
        match key[0]:
            case "w":
                return self.message(part)
            case "p":
                return self.phrase(part)
        return part

    @cached_property
    def messages(self) -> dict[str, str]:
        """The sentences of the program under their English; empty for English itself."""
        return messages(self.code)

    @cached_property
    def _message_forms(self) -> tuple[tuple[re.Pattern[str], str], ...]:
        return forms(self.messages)

    @cached_property
    def templates(self) -> tuple[tuple[re.Pattern[str], str], ...]:
        """Whole sentences of the rooms that judge, as patterns with what stands for them."""
        return templates(self.code)

    def phrase(self, text: str) -> str:
        """Return what another room says (a free body, a sense, an item …) in this language.

        Names that a user gave stay; so does what the catalogue does not know.
        """
        whole = self.sentence(text)
        if whole is None and text.startswith("The "):
            whole = self.sentence(text[:1].lower() + text[1:])
        if whole is not None:
            return whole
        for phrase, other in self.phrases.items():
            if phrase in text:
                alone = rf"(?<![\w\\]){re.escape(phrase)}(?!\w)"  # \left( is no word
                text = re.sub(alone, other.replace("\\", r"\\"), text)
        return text

    def note(self, text: str) -> str:
        """Return a note as a whole, else part by part; of a drafted sheet its comments alone."""
        if "\n" in text:
            return "\n".join(map(self._comment, text.split("\n")))
        whole = self.message(text)
        return whole if whole != text else "; ".join(map(self.message, text.split("; ")))

    def _comment(self, line: str) -> str:
        code, mark, comment = line.partition("  # ")
        if mark:
            return code + mark + self.message(comment)
        return self.message(line) if line.startswith("#") else line

    def sentence(self, text: str) -> str | None:
        """Return what another room says, sentence by sentence, None where one has no line.

        A decimal comma in it is no comma of the sentence.
        """
        if _DECIMAL.search(text):
            held = self.sentence(_DECIMAL.sub(_HELD, text))
            return held.replace(_HELD, ",") if held is not None else None
        several = _SENTENCES.split(text)
        if len(several) > 1:
            said = [self._sentence(one) for one in several]
            if None not in said:
                return " ".join(filter(None, said))
        return self._sentence(text)

    def _sentence(self, text: str) -> str | None:
        for pattern, other in self.templates:
            match = pattern.fullmatch(text)
            if match:
                parts = match.groupdict()
                said = other.format(**{key: self._part(key, part) for key, part in parts.items()})
                return begun(said) if text.endswith(".") else said
        return None

    def _part(self, key: str, part: str) -> str:
        if key == "k":
            return self.get(f"kind.{part}") or part
        return part if key in NAMES else self.phrase(part)

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


@cache
def words(code: str = DEFAULT) -> Words:
    """Return a language's words; raises `UsageError` for a language without a catalogue."""
    if code not in languages():
        raise UsageError(f"there is no language {code!r}", f"there are {', '.join(languages())}")
    sentences = catalogue(DEFAULT)
    if code != DEFAULT:
        sentences = sentences | catalogue(code)
    return Words(code, sentences, phrases(code))


def use(code: str) -> None:
    """Speak this language from now on, where none is named; raises `UsageError` like `words`."""
    global _spoken
    words(code)
    _spoken = code


def spoken() -> Words:
    """Return the words of the language that the command line was told to speak, else English."""
    return words(_spoken)


def language_of(argv: Sequence[str]) -> str:
    """Return the language that a command line asks for, before anything else of it is read.

    `--language` comes first, then `COUNTERPOISE_LANGUAGE`, then English. Raises `UsageError` for
    one without a catalogue.
    """
    wanted = ""
    for word, after in zip(argv, [*argv[1:], ""], strict=False):
        if word == "--":
            break
        if word.startswith("--language="):
            wanted = word.partition("=")[2]
        elif word == "--language" and after and not after.startswith("-"):
            wanted = after
    if wanted:
        return words(wanted).code
    usual = os.environ.get("COUNTERPOISE_LANGUAGE", "").partition("_")[0].lower()
    if usual and usual not in languages():
        said = f"COUNTERPOISE_LANGUAGE: there is no language {usual!r}"
        raise UsageError(said, f"there are {', '.join(languages())}")
    return usual or DEFAULT
