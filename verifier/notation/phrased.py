"""Forces named in words within a product: `tie force × 1.2 = 8 × 3`, `5 × reaction at B`."""

from collections.abc import Iterator

from verifier.notation.token_forms import Tok
from verifier.notation.words import LEADS, WITHIN


def phrased(text: str, tokens: list[Tok]) -> list[Tok]:
    """Return the tokens with the words beside a product's sign and a number as one name each.

    The same tokens where there are none; words that lead on (`so`, `hence`) stay apart.
    """
    out = list(tokens)
    for start, end in reversed(list(_runs(out))):
        first, last = out[start], out[end - 1]
        name = Tok("NAME", text[first.start : last.end], first.start, last.end)
        told = out[start - 1].kind in ("NUM", "UNIT") if start else False
        out[start:end] = [] if told else [name]  # `7 kN/m mean × 5`
    return out


def _runs(tokens: list[Tok]) -> Iterator[tuple[int, int]]:
    """Yield where phrases beside a product begin and end."""
    for index, token in enumerate(tokens):
        if token.kind != "TIMES":
            continue
        before, behind = tokens[index - 1 : index], tokens[index + 1 : index + 2]
        if behind and behind[0].kind == "NUM":
            start = index
            while start and tokens[start - 1].kind in ("WORD", "NAME"):
                start -= 1
            while start < index and tokens[start].text.lower() in LEADS:
                start += 1
            if _is_phrase(tokens[start:index]):
                yield start, index
        if before and before[0].kind in ("NUM", "UNIT"):
            end = index + 1
            while end < len(tokens) and tokens[end].kind in ("WORD", "NAME"):
                end += 1
            if _is_phrase(tokens[index + 1 : end]):
                yield index + 1, end


def _is_phrase(run: list[Tok]) -> bool:
    """Tell whether tokens are words with a noun, such as may name a force; a symbol ends none."""
    if not run or all(token.kind == "NAME" for token in run):
        return False
    last = run[-1]
    words = [t for t in run if len(t.text) > 2 and t.text.lower() not in WITHIN]
    if last.kind == "NAME" and not (len(run) > 2 and run[-2].text.lower() in WITHIN):
        return False
    return any(token.kind == "WORD" for token in words)
