"""Glyphs and Tesseract's letters → the likeliest text of a printed line, and its doubtful places.

What a glyph may be is judged by its shape, by what Tesseract saw there, and by its neighbours'
kinds: digits keep company with digits. Nothing here knows what the line should say.
"""

import functools
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from verifier.reading.printing import Glyph, GlyphLine, Lattice
from verifier.reading.segment import Box4
from verifier.reading.shapes import GLYPHS, INDEX, JUNK, SCRIPTABLE, Array, Metrics
from verifier.reading.tesseract import Letter

_Put = Callable[[str, "Box4 | None", int], None]
_TESSERACT_SURE = 1.3
_TESSERACT_FIGURE = 1.3
_TESSERACT = 0.6  # how far Tesseract's word counts: the two readers err together at times
# How much of the doubt is real: fitted so that of lines held to be right with some probability,
# that share is right (14 pages in fonts that the network knows, 8 in fonts that it does not).
_DOUBT = 0.28
_DISPUTED = 0.8  # … and of the doubt about a figure that Tesseract reads otherwise
_KEPT = 5  # candidates a glyph
_DEEPEST = 9.0  # nats below the best at which a candidate is dropped
_UPRIGHT = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789acdehiklmnorstuvwxz")  # no descender
_DIGITS = frozenset("0123456789")
_BEFORE_DEGREE = _DIGITS | frozenset("αβγδθλμφω)}")
_KINDS_OF_WORD = frozenset("abcdefghijklmnopqrstuvwxyz")
_UNRAISED = frozenset("°'\"")
_SUPERSCRIPT = {"2": "²", "3": "³", "−1": "⁻¹", "-1": "⁻¹"}

_LIKE_TESSERACT = {
    "—": "−", "–": "−", "‘": "'", "’": "'", "“": '"', "”": '"', "«": "<", "»": ">", "©": "@",
    "€": "C", "£": "E", "¢": "c", "¥": "Y", "§": "S", "®": "@", "\\": "/", "$": "S",
}  # fmt: skip
_CANNOT = frozenset("αβγδεηθλμπρστφωΔΣΦΩ×·÷√∴∵⇒→←↑↓↺↻≈≤≥✓½±−°^~èàüöäçñóß")


@dataclass(frozen=True)
class Choice:
    """What a glyph was read as: the text it gives, its box, and what else it may be.

    `others` are other glyphs with their probabilities; `sure` is the probability of `char`.
    `script` is 0 on the line, 1 dropped, 2 raised; `space` whether a space stands before
    it; `held` is the probability that this ink is one glyph at all.
    """

    char: str
    box: Box4
    sure: float
    script: int = 0
    space: bool = False
    others: tuple[tuple[str, float], ...] = field(default=())
    held: float = 1.0


def decode(lattice: Lattice, letters: list[Letter], without: Box4 | None = None) -> list[Choice]:
    """Choose the glyphs of a line by shape, Tesseract and neighbours.

    No glyph fills the box `without`: for what else a doubtful piece of ink may be.
    """
    letters = sorted(letters, key=lambda letter: letter.box[0])
    lefts = [letter.box[0] for letter in letters]
    widest = max((letter.box[2] for letter in letters), default=0)

    def weigh(glyph: Glyph) -> float:
        x, _, w, _ = glyph.box
        near = letters[bisect_left(lefts, x - widest) : bisect_right(lefts, x + w)]
        seen = _seen([glyph], near)[0]
        return float(_scores(glyph, seen).max()) - _astride(glyph, near)

    line = lattice.best(weigh, without)
    glyphs = list(line.glyphs)
    glyphs = [_with_level(glyph, line.metrics, glyphs[i + 1 :]) for i, glyph in enumerate(glyphs)]
    if not glyphs:
        return []
    seen = _seen(glyphs, letters)
    spaces = _spaces(glyphs, letters, line.metrics.cap)
    scripts = [_script(glyph, line.metrics) for glyph in glyphs]
    small = _small_height(glyphs, line.metrics)
    scores = [
        _scores(glyph, letter) + _stand(glyph, line.metrics, small)
        for glyph, letter in zip(glyphs, seen, strict=True)
    ]
    picks, beliefs = _viterbi(scores, scripts, spaces)
    chosen = []
    for i, glyph in enumerate(glyphs):
        char = GLYPHS[picks[i]]
        doubt = _DISPUTED if _at_odds(char, seen[i]) else _DOUBT
        others = tuple(
            (GLYPHS[k], doubt * float(p))
            for k, p in sorted(beliefs[i].items(), key=lambda item: -item[1])
            if k != picks[i] and p > 0.01
        )
        script = scripts[i] if char in SCRIPTABLE and not (spaces[i] and char in "0oO") else 0
        if script == 2 and char in "oO0" and i and GLYPHS[picks[i - 1]] in _BEFORE_DEGREE:
            char = "°"
        elif char == "°" and i and GLYPHS[picks[i - 1]] in _KINDS_OF_WORD:
            char, script = "o", 0
        if char == "°" and (spaces[i] or not i):
            char, script = "0", 0  # a degree sign clings to its figure
        script = 0 if char in _UNRAISED else script
        sure = 1 - doubt * (1 - float(beliefs[i].get(picks[i], 0.0)))
        held = 1 - _DOUBT * (1 - glyph.held)
        chosen.append(Choice(char, glyph.box, sure, script, spaces[i], others, held))
    return chosen


def _at_odds(char: str, letter: Letter | None) -> bool:
    """Whether Tesseract surely reads another figure here."""
    return letter is not None and {char, letter.char} <= _DIGITS and char != letter.char


def _with_level(glyph: Glyph, metrics: Metrics, after: list[Glyph]) -> Glyph:
    """Raise a short minus that stands high before a raised figure: tan⁻¹."""
    x, y, w, h = glyph.box
    high = (metrics.base_at(x) - y - h / 2) / metrics.cap
    follows = after and int(after[0].scripts.argmax()) == 2 and after[0].box[0] - x - w < 0.4 * w
    if follows and glyph.best in "−-" and high > 0.52 and w < 0.7 * metrics.cap:
        raised = np.log(np.array([0.02, 0.02, 0.96], np.float32))
        return replace(glyph, scripts=raised)
    return glyph


def _astride(glyph: Glyph, letters: list[Letter]) -> float:
    """Return what it costs, in nats, that Tesseract saw the ink parted otherwise."""
    x, _, w, _ = glyph.box
    inside, cost = 0, 0.0
    for letter in letters:
        left, wide = letter.box[0], letter.box[2]
        if letter.sure < 0.6:
            continue
        if x + 0.1 * w < left + wide / 2 < x + 0.9 * w and wide > 0.15 * w:
            inside += 1
        if left - 0.1 * wide < x and x + w < left + 1.1 * wide and w < 0.62 * wide:
            cost += 0.9
        both = min(x + w, left + wide) - max(x, left)
        if both > 0.8 * (max(x + w, left + wide) - min(x, left)):
            cost -= 1.5
    return cost + 1.4 * max(0, inside - 1)


def _seen(glyphs: list[Glyph], letters: list[Letter]) -> list[Letter | None]:
    """Find, for each glyph, the letter that Tesseract saw at its place."""
    found: list[Letter | None] = []
    for glyph in glyphs:
        x, _, w, _ = glyph.box
        best, most = None, 0.3
        for letter in letters:
            left, right = max(x, letter.box[0]), min(x + w, letter.box[0] + letter.box[2])
            share = (right - left) / max(1, min(w, letter.box[2]))
            wide = (right - left) / max(1, max(w, letter.box[2]))
            if share > 0.5 and wide > most:
                best, most = letter, wide
        found.append(best)
    return found


def _scores(glyph: Glyph, letter: Letter | None) -> Array:
    scores = glyph.scores + _habits()
    scores[JUNK] = -30
    if letter is None:
        return scores
    char = _LIKE_TESSERACT.get(letter.char, letter.char)
    if char not in INDEX:
        return scores
    # How likely Tesseract is to have said this, were the glyph each of the classes.
    trust = min(0.97, 0.5 + 0.5 * letter.sure)
    said = np.log(_miss() + (1 - trust) / len(GLYPHS))
    said[INDEX[char]] = np.log(trust)
    if char.swapcase() in INDEX:
        said[INDEX[char.swapcase()]] = np.log(max(1 - trust, 0.12))
    if char in _CANNOT:
        said[INDEX[char]] = np.log(0.6)
    return np.asarray(scores + _trust(char, letter) * said, np.float32)


def _trust(char: str, letter: Letter) -> float:
    """Return how far Tesseract's word counts: more for a figure or a word that it is sure of."""
    if char in _DIGITS and letter.sure > 0.9:
        return _TESSERACT_FIGURE
    return _TESSERACT_SURE if char.isalpha() and letter.word >= 0.93 else _TESSERACT


_CASES = tuple((INDEX[a], INDEX[a.upper()]) for a in "cosvwxzkpu")
_DOTS = tuple((INDEX[char], at) for char, at in ((".", 0.0), (",", -0.12), ("·", 0.32)))


def _small_height(glyphs: list[Glyph], metrics: Metrics) -> float:
    """Return the height of small letters in capitals, from those that are surely small."""
    heights = [
        glyph.box[3] / metrics.cap
        for glyph in glyphs
        if glyph.best in "aenmr" and int(glyph.scripts.argmax()) == 0
    ]
    heights = [height for height in heights if 0.55 < height < 0.85]
    return float(np.median(heights)) if heights else 0.71


def _stand(glyph: Glyph, metrics: Metrics, small: float) -> Array:
    """Weigh what only size or place tells apart: c from C, a point from a raised dot."""
    added = np.zeros(len(GLYPHS), np.float32)
    x, y, w, h = glyph.box
    if int(glyph.scripts.argmax()) == 0:
        tall = h / metrics.cap
        low = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        lower = _near(tall, small, 0.055) + _near(low, 0.0, 0.05)
        upper = _near(tall, 1.0, 0.06) + _near(low, 0.0, 0.05)
        upper = max(upper, _near(tall, 0.68, 0.08) + _near(low, -0.18, 0.07))
        for little, large in _CASES:
            if GLYPHS[little] not in "kp":
                added[little] += lower
                added[large] += upper
    if w > 1.8 * h and w < 1.5 * metrics.cap:
        high = (metrics.base_at(x + w / 2) - y - h / 2) / metrics.cap
        added[INDEX["_"]] += _near(high, -0.14, 0.07)
        for bar in "−-":
            added[INDEX[bar]] += max(_near(high, 0.36, 0.09), _near(high, 0.75, 0.12))
            added[INDEX[bar]] -= 5.0 * (h > 0.27 * metrics.cap)  # an arrow has a head
    if h < 0.3 * metrics.cap and w < 0.32 * metrics.cap:
        foot = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        for dot, at in _DOTS:
            added[dot] += _near(foot, at, 0.06)
    return added


def _near(value: float, wanted: float, spread: float) -> float:
    return max(-5.0, -0.5 * ((value - wanted) / spread) ** 2)


@functools.cache
def _habits() -> Array:
    """Weigh how often each glyph is written at all: the network was shown all alike."""
    weights = np.zeros(len(GLYPHS), np.float32)
    for chars, cost in _SELDOM:
        for char in chars:
            weights[INDEX[char]] = -cost
    return weights


_SELDOM = (
    ("αβθφ", 0.7), ("γδλμπωΔ", 2.0), ("εηρστΦΩ", 3.0), ("éèàüöäçñóß", 3.5),
    ("½±✓√∵", 2.0), ("@*^~!?#&%\"|<>≤≥", 2.2), ("{}'", 0.7),
)  # fmt: skip


@functools.cache
def _miss() -> Array:
    """How likely Tesseract is to say one given other character, for each class of glyph."""
    low = np.full(len(GLYPHS), 0.004, np.float32)
    for char in _CANNOT:
        low[INDEX[char]] = 1 / 25  # it has no such character and says anything
    return low


def _script(glyph: Glyph, metrics: Metrics) -> int:
    level = int(glyph.scripts.argmax())
    x, y, w, h = glyph.box
    if level == 0 and glyph.best in _UPRIGHT:
        foot = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        return 1 if -0.42 < foot < -0.09 and 0.3 < h / metrics.cap < 0.85 else 0
    return level if float(np.exp(glyph.scripts[level])) > 0.55 else 0


def _spaces(glyphs: list[Glyph], letters: list[Letter], cap: float) -> list[bool]:
    """Tell where words begin: by the gaps of this line, and by what Tesseract thinks."""
    pitch = _pitch(glyphs, cap)
    starts = [letter.box[0] for letter in letters if letter.after_space]
    found = [False]
    for left, glyph in pairwise(glyphs):
        begun = any(abs(start - glyph.box[0]) < 0.2 * cap for start in starts)
        if pitch:
            steps = (_centre(glyph) - _centre(left)) / pitch
            found.append(steps > (1.45 if begun else 1.6))
        else:
            gap = (glyph.box[0] - left.box[0] - left.box[2]) / cap
            # Figures share one width, so that a slim 1 stands in a wide gap.
            figures = left.best in _FIGURES and glyph.best in _FIGURES
            if glyph.best in "°,.'":
                gap -= 0.3  # these cling to what is before them
            elif figures:
                gap -= 0.5 if "1" in (left.best, glyph.best) else 0.08
            found.append(gap > (0.17 if begun else 0.31))
        if left.best in "([{" or glyph.best in ")]}":
            found[-1] = False  # however wide the gap: nobody writes a space there
    return found


def _centre(glyph: Glyph) -> float:
    return glyph.box[0] + glyph.box[2] / 2


def _pitch(glyphs: list[Glyph], cap: float) -> float:
    """Return the width of a cell where all glyphs are as wide as each other, else 0."""
    level = [glyph for glyph in glyphs if int(glyph.scripts.argmax()) == 0]
    centres = np.array([_centre(glyph) for glyph in level])
    if len(centres) < 8:
        return 0.0
    steps = np.diff(centres)
    near = steps[(steps > 0.6 * cap) & (steps < 1.15 * cap)]
    if len(near) < 0.35 * len(steps):
        return 0.0
    pitch = float(np.median(near))
    off = np.abs(steps / pitch - np.round(steps / pitch))
    return pitch if float(np.mean(off < 0.12)) > 0.8 else 0.0


_FIGURES = frozenset("0123456789.,()/")

_KINDS = {
    **dict.fromkeys("0123456789", "d"), **dict.fromkeys("ABCDEFGHIJKLMNOPQRSTUVWXYZ", "U"),
    **dict.fromkeys("abcdefghijklmnopqrstuvwxyzéèàüöäçñóß", "l"),
    **dict.fromkeys("αβγδεηθλμπρστφωΔΣΦΩ", "g"), **dict.fromkeys(".,", "p"),
    **dict.fromkeys("+−=×·÷/<>≈≤≥±*", "o"),
}  # fmt: skip


def _together(left: int, right: int, space: bool, level: bool) -> float:
    """How well two neighbours go together, in nats (0 or less)."""
    a, b = GLYPHS[left], GLYPHS[right]
    ka, kb = _KINDS.get(a, "x"), _KINDS.get(b, "x")
    if not level:
        return 0.0
    if space:
        return -1.0 if b in ".,:;)" else 0.0
    cost = 0.0
    if {ka, kb} <= {"d", "p"}:
        return -1.5 if ka == kb == "p" else 0.0
    if ka in "dp" and b in "OolISZBsz":
        cost -= 2.0
    if a in "OolISZB" and (kb == "d" or b in "."):
        cost -= 2.0
    if ka == "l" and kb == "U":
        cost -= 0.0 if (a, b) in {("k", "N"), ("a", "N")} else 2.5
    if ka == "l" and kb == "d":
        cost -= 0.8
    if (ka in "lU" and b in "×*") or (a in "×*" and kb == "l"):
        cost -= 0.7
    if "|" in (a, b) or "~" in (a, b) or "!" in (a, b):
        cost -= 1.5
    return cost


def _viterbi(
    scores: list[Array], scripts: list[int], spaces: list[bool]
) -> tuple[list[int], list[dict[int, float]]]:
    """Return the likeliest classes together, and what each may be, given its neighbours."""
    options = [_options(one) for one in scores]
    forward: list[Array] = []
    for i, (which, own) in enumerate(options):
        if i == 0:
            forward.append(own)
            continue
        step = _steps(options[i - 1][0], which, spaces[i], scripts[i - 1] == scripts[i])
        forward.append(np.asarray(own + _logsum(forward[-1][:, None] + step, 0)))
    backward: list[Array] = [np.zeros(len(options[-1][0]), np.float32)]
    for i in range(len(options) - 2, -1, -1):
        step = _steps(options[i][0], options[i + 1][0], spaces[i + 1], scripts[i] == scripts[i + 1])
        ahead = options[i + 1][1] + backward[0]
        backward.insert(0, np.asarray(_logsum((step + ahead[None, :]).T, 0)))
    picks, beliefs = [], []
    for (which, _), ahead, back in zip(options, forward, backward, strict=True):
        both = ahead + back
        belief = np.exp(both - _logsum(both, 0))
        picks.append(int(which[int(belief.argmax())]))
        beliefs.append({int(k): float(p) for k, p in zip(which, belief, strict=True)})
    return picks, beliefs


def _options(scores: Array) -> tuple[Array, Array]:
    order = np.argsort(-scores)[:_KEPT]
    order = order[scores[order] > scores[order[0]] - _DEEPEST]
    own = scores[order]
    return order, np.asarray(own - _logsum(own, 0), np.float32)


def _steps(left: Array, right: Array, space: bool, level: bool) -> Array:
    return np.array(
        [[_together(int(a), int(b), space, level) for b in right] for a in left], np.float32
    )


def _logsum(x: Array, axis: int) -> Array:
    top = x.max(axis=axis, keepdims=True)
    return np.asarray(np.log(np.exp(x - top).sum(axis=axis)) + top.squeeze(axis))


def text_of(chosen: list[Choice]) -> tuple[str, list[Box4 | None], list[int]]:
    """Write choices as text that `check` takes.

    Returns the text, a box or None for each character of it, and for each character the number
    of the choice that it comes from (-1 for spaces and braces).
    """
    text, boxes, owners = "", [], []

    def put(chars: str, box: Box4 | None, owner: int) -> None:
        nonlocal text
        text += chars
        boxes.extend([box] * len(chars))
        owners.extend([owner] * len(chars))

    i = 0
    while i < len(chosen):
        one = chosen[i]
        if one.space and text:
            put(" ", None, -1)
        if one.script == 0:
            put(one.char, one.box, i)
            i += 1
            continue
        end = i + 1
        while end < len(chosen) and chosen[end].script == one.script and not chosen[end].space:
            end += 1
        if one.script == 2 and one.char in "−-" and end == i + 1 and _raised_one(chosen[end:]):
            end += 1
        _put_script(chosen, i, end, put)
        i = end
    return text, boxes, owners


def _raised_one(after: list[Choice]) -> bool:
    return bool(after) and after[0].script == 2 and after[0].char == "1"


def _put_script(chosen: list[Choice], start: int, end: int, put: _Put) -> None:
    run = chosen[start:end]
    plain = "".join(one.char for one in run)
    if run[0].script == 2 and plain in _SUPERSCRIPT:
        for k, (char, one) in enumerate(zip(_SUPERSCRIPT[plain], run, strict=True)):
            put(char, one.box, start + k)
        return
    put("_" if run[0].script == 1 else "^", None, -1)
    brace = len(run) > 1
    if brace:
        put("{", None, -1)
    for k, one in enumerate(run):
        put(one.char, one.box, start + k)
    if brace:
        put("}", None, -1)


def swapped(choice: Choice, char: str | None) -> Choice:
    """Return a choice read as another glyph; an empty one is no glyph at all."""
    return choice if char is None else replace(choice, char=char)


def agreement(line: GlyphLine, letters: list[Letter]) -> float:
    """Return the share of glyphs that Tesseract reads alike, of those that it can know."""
    glyphs = [glyph for glyph in line.glyphs if glyph.best not in _CANNOT]
    if not glyphs:
        return 0.0
    pairs = zip(glyphs, _seen(glyphs, letters), strict=True)
    alike = sum(
        letter is not None
        and _LIKE_TESSERACT.get(letter.char, letter.char).lower() == glyph.best.lower()
        for glyph, letter in pairs
    )
    return alike / len(glyphs)
