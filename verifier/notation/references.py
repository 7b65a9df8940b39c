"""References to numbered equations: 'sub (1) into (2)', 'from (3):', '(1) − (2)'."""

import re

_STEP = re.compile(
    r"\s*(?:(?P<tag>[(\[](?:\d{1,2}|[ivx]{1,4}|(?-i:[a-z*]))[)\]])"
    r"|(?P<word>(?:d'après|selon|según|dalla|nach|from|using|by|with|into|in|to|sub(?:st(?:itut\w{1,8})?)?\.?|put(?:ting)?|insert\w{0,5}"
    r"|add(?:ing)?|subtract(?:ing)?|solv(?:e|ing)|eqn?s?\.?|equations?|and|und|et|y|aus|einsetzen|de|dans"
    r"|da|z|из|Gl\.?|Gleichung|équation|simultaneously|we get|gives)(?![\w]))"
    r"|(?P<op>[×*·]\s*\d+(?:\.\d+)?(?:\s*/\s*\d+)?|[-+−×*,&]|\d+(?:\.\d+)?\s*[×*·]))",
    re.I,
)
_LEADS = re.compile(r"\s*(?:[:⇒→]|=>|->|(?:gives|yields|becomes|ergibt|donne|then)\b)", re.I)
_GOES_ON = re.compile(r"\s*(?:[:;,.⇒→]|$)|\s+(?![-+*/×·=^])\S")


def cite_at(text: str, start: int, end: int) -> tuple[tuple[str, ...], int] | None:
    """Read a reference at plain column `start`; return the numbers it names and where it ends.

    Signs between the numbers count only where the clause holds nothing else, so that the product
    `(2)(3)` and the sum `(3) − 2A_y` are none.
    """
    tags: list[str] = []
    at = stop = start
    worded = between = signed = False
    while step := _STEP.match(text, at, end):
        if step["tag"]:
            if tags and at == stop and not text[at:end][:1].isspace():
                return None
            tags.append(step["tag"][1:-1])
            stop = step.end()
        elif step["op"]:
            signed = True
        else:
            worded, between = worded or not tags, between or bool(tags)
        at = step.end()
    if not tags:
        return None
    finished = not text[at:end].strip(" .:;,")
    if finished and (worded or signed or between or len(tags) == 1):
        return tuple(tags), at
    if signed and text[at:end].lstrip()[:1] in (":", "⇒"):
        return tuple(tags), at  # (1) × 4: 24 V_B − 4 H_B = 368
    follows = _GOES_ON.match(text, stop, end)
    if (
        follows is None
        or (signed and not worded and text[stop:end].lstrip()[:1] not in (":", "⇒"))
        or (not worded and not _LEADS.match(text, stop, end))
    ):
        return None
    return tuple(tags), stop
