"""How a run of letters falls apart: into names of the table, a function, or words."""

import re
from collections.abc import Iterator
from functools import lru_cache

from verifier.notation import words
from verifier.notation.names import GREEK, Lexicon, canonical, is_known

_FUNCTION = re.compile(
    r"(?:arc|Arc)?(?:sin|cos|tan|cot)|(?:a|A)(?:sin|cos|tan)|sen|arcsen|tg|arctg|ctg|sec|csc|cosec"
    r"|Sin|Cos|Tan|SIN|COS|TAN|SEN|sqrt|SQRT|Sqrt|abs|ABS"
)
_TAIL = re.compile(r"$|[0-9(₀-₉_]|[α-ω]")
_LOADS = re.compile(r"([qwpPFWQGT])([abcdehlLrsR])\d?|[mM]g")
_LENGTHS = tuple("abcdehklrL")
_ELIDED = re.compile(r"[a-zA-Z]{1,5}'[a-zà-ÿ]{3,}")


@lru_cache(maxsize=8192)
def function_at(word: str, lex: Lexicon) -> tuple[int, int] | None:
    """Return the place of a function's name inside a run of letters, or None."""
    if word in words.NOT_FUNCTION:
        return None
    for match in _FUNCTION.finditer(word):
        start, end = match.span()
        before, after = word[:start], word[end:]
        if not _argument(after, lex):
            continue
        if not before or any(c.isupper() or c in "_₁₂₃₄₅'" or c.isdigit() for c in before):
            return (start, end)
        if len(before) == 1 or is_known(canonical(before), lex) or _loads(before):
            return (start, end)
    return None


def _argument(after: str, lex: Lexicon) -> bool:
    if _TAIL.match(after):
        return True
    head = re.match(r"[A-Za-z]+", after)
    if head is None:
        return True
    return (
        head.group() in GREEK
        or canonical(after) in lex.letters
        or (len(after) == 1 and after.isupper())
    )


def _loads(text: str) -> bool:
    return bool(_LOADS.fullmatch(text))


def pieces(word: str, lex: Lexicon) -> Iterator[tuple[int, str]]:
    """Cut a run of letters into names of the table; what cannot be cut stays one name or word.

    Yields (length, 'name' or 'word').
    """
    text = canonical(word)
    if is_known(text, lex):
        yield (len(word), "name")
    elif word.lower() in words.STOP:
        yield (len(word), "word")
    elif cut := _cut(word, lex):
        for size in cut:
            yield (size, "name")
    elif word[:1] in _LENGTHS and word[:1] in lex.letters and canonical(word[1:]) in lex.joints:
        yield (1, "name")  # 2aB: the reaction B with its arm in letters
        yield (len(word) - 1, "name")
    elif len(word) == 2 and _loads(word) and not word.isupper():
        yield (1, "name")
        yield (1, "name")
    elif _ELIDED.fullmatch(word) or (
        word.isalpha() and len(word) > 3 and word[1:].islower() and word not in GREEK
    ):
        yield (len(word), "word")
    else:
        yield (len(word), "name")


def _cut(word: str, lex: Lexicon) -> list[int]:
    """Cut `word` into the fewest known names, each piece a whole writing; [] where it cannot be."""
    if len(word) > 14 or lex.bare:
        return []
    best: list[list[int] | None] = [[]] + [None] * len(word)
    for end in range(1, len(word) + 1):
        for start in range(end):
            before = best[start]
            if (
                before is None
                or word[end - 1] == "_"
                or word[start] in "_'₀₁₂₃₄₅₆₇₈₉"
                or word[start].isdigit()
            ):
                continue
            if is_known(canonical(word[start:end]), lex) and not word[end : end + 1].startswith(
                "_"
            ):
                old = best[end]
                if old is None or len(before) + 1 < len(old):
                    best[end] = [*before, end - start]
    found = best[-1]
    return found if found and len(found) > 1 else []
