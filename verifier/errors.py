"""Errors for misuse and bad files: one clear line each, never a traceback for the user."""

from dataclasses import dataclass


class CounterpoiseError(Exception):
    """Base of every error that a user may see; `str()` is the sentence shown."""


@dataclass
class FileError(CounterpoiseError):
    """A file that is missing, unreadable or of the wrong kind."""

    path: str
    reason: str
    remedy: str = ""

    def __str__(self) -> str:
        return f"{self.path}: {self.reason}" + (f"; {self.remedy}" if self.remedy else "")


@dataclass
class SheetError(CounterpoiseError):
    """A givens sheet that cannot be used: where, what was expected, and a like example.

    `line` counts from 1, `column` from 0; `text` is the line as written.
    """

    line: int
    column: int
    problem: str
    expected: str = ""
    example: str = ""
    text: str = ""
    path: str = "sheet"

    def __str__(self) -> str:
        said = f"{self.path}, line {self.line}, column {self.column + 1}: {self.problem}"
        if self.text:
            said += f" in «{self.text.strip()}»"
        if self.expected:
            said += f"; expected {self.expected}"
        if self.example:
            said += f", as in «{self.example}»"
        return said


@dataclass
class UsageError(CounterpoiseError):
    """A command used in a way that cannot work."""

    reason: str
    remedy: str = ""

    def __str__(self) -> str:
        return self.reason + (f"; {self.remedy}" if self.remedy else "")
