"""What is said where something cannot be done: an error's sentence in the language spoken."""

from verifier.errors import CounterpoiseError, FileError, SheetError, UsageError
from verifier.reporting.words import DEFAULT, Words


def complaint(error: CounterpoiseError, say: Words) -> str:
    """Return an error as one sentence: what is wrong, where, and what to do.

    >>> from verifier.reporting.words import words
    >>> complaint(FileError("hoist.txt", "there is no such file"), words("de"))
    'hoist.txt: es gibt keine solche Datei'
    """
    if say.code == DEFAULT:
        return str(error)
    match error:
        case FileError(path=path, reason=reason, remedy=remedy):
            return f"{path}: {_both(reason, remedy, say)}"
        case UsageError(reason=reason, remedy=remedy):
            return _both(reason, remedy, say)
        case SheetError():
            return _sheet(error, say)
    return say.message(str(error))


def _both(reason: str, remedy: str, say: Words) -> str:
    return say.message(reason) + (f"; {say.message(remedy)}" if remedy else "")


def _sheet(error: SheetError, say: Words) -> str:
    said = say.text(
        "{path}, line {line}, column {column}: {problem}",
        path=error.path,
        line=error.line,
        column=error.column + 1,
        problem=say.message(error.problem),
    )
    if error.text:
        said += say.text(" in «{text}»", text=error.text.strip())
    if error.expected:
        said += say.text("; expected {expected}", expected=_either(error.expected, say))
    if error.example:
        said += say.text(", as in «{example}»", example=error.example)
    return said


def _either(expected: str, say: Words) -> str:
    whole = say.message(expected)
    if whole != expected:
        return whole
    return say.text(" or ").join(say.message(one) for one in expected.split(" or "))
