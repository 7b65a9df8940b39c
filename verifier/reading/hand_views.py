"""A line's readings from two views of it: as it stands, and a little larger and leaning.

Where the two views agree a reading is surer than either says; where they differ both readings
are handed on. A line that the first view reads beyond doubt is not looked at again.
"""

import math
import re
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.notation.tree import Names
from verifier.reading.hand_beam import Path, best_paths, log_softmax
from verifier.reading.hand_image import HEIGHT, STEP, WIDEST, Prepared
from verifier.reading.hand_prior import Offered, weight
from verifier.reading.hand_text import Written, placed, written
from verifier.reading.hand_weights import network

_WIDTH = 10
_LOWER_WIDTH = 4
_LARGER, _LEAN = 1.12, 0.1
_CLEAR_INK, _CLEAR_LEAD = -0.1, 5.0
_UNHEARD = 1.5  # how far below a view's last reading one is held to be that it does not offer
_LOWERED_IS_USUAL = 0.7
_FARTHEST = 8.0
Picture = NDArray[np.float32]


@dataclass(frozen=True)
class Scored:
    """A reading with its log chances: by ink, and with the preference added.

    `leads` says how far it is ahead of the best other reading in each view, −8 to 8.
    """

    reading: Written
    ink: float
    score: float
    leads: tuple[float, float] = (0.0, 0.0)


def ranked(prepared: Prepared, names: Names | None, offered: Offered) -> list[Scored]:
    """Return the readings of a picture that differ in meaning, likeliest first.

    Readings that differ only in a blank or in whether an index is lowered are one: their chances
    add up, and the likeliest of them is what is shown.
    """
    first = _heard(prepared.picture, names, offered)
    found = _sorted(_joined(first, first, 1.0))
    if not found or clear(found):
        return found
    picture, larger = second(prepared.picture)
    return _sorted(_joined(first, _heard(picture, names, offered), larger))


def clear(found: list[Scored]) -> bool:
    """Return whether the likeliest reading leaves no doubt."""
    lead = found[0].score - found[1].score if len(found) > 1 else _CLEAR_LEAD
    return found[0].ink > _CLEAR_INK and lead >= _CLEAR_LEAD


def second(picture: Picture) -> tuple[Picture, float]:
    """Return the other view of a picture (80, W), and how much larger it is."""
    rows = np.flatnonzero((picture > 0.5).sum(axis=1) > 1)
    reach = max(HEIGHT / 2 - int(rows[0]), int(rows[-1]) + 1 - HEIGHT / 2, 1) if len(rows) else 1
    larger = min(_LARGER, max(0.9, (HEIGHT / 2 - 1) / reach), WIDEST / picture.shape[1])
    width = min(WIDEST, -(-math.ceil(picture.shape[1] * larger) // STEP) * STEP)
    middle = HEIGHT / 2
    turn = np.array(
        [[larger, -_LEAN * larger, _LEAN * larger * middle], [0, larger, middle * (1 - larger)]],
        np.float32,
    )
    view = cv2.warpAffine(
        picture, turn, (width, HEIGHT), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT,
        borderValue=0,
    )  # fmt: skip
    return np.asarray(view, np.float32), larger


_LOWERED = re.compile(r"(?<=[A-Za-zΣ])_\{([A-Za-z0-9]+)\}(?![A-Za-z0-9])")


def meaning(text: str) -> str:
    """Return a line without blanks and without the braces of indices that end a name.

    >>> meaning("V_{B} = 3 kN") == meaning("VB = 3kN")
    True
    """
    return _LOWERED.sub(r"\1", text).replace(" ", "")


def _heard(picture: Picture, names: Names | None, offered: Offered) -> dict[str, Scored]:
    """Return one view's readings by their meaning."""
    above, below = (log_softmax(s) for s in network().scores(picture))
    best: dict[str, Scored] = {}
    shown: dict[str, float] = {}
    for ink, upper, lower in _pairs(best_paths(above, _WIDTH), best_paths(below, _LOWER_WIDTH)):
        reading = written(placed(upper, lower))
        score = ink + weight(reading.text, names, offered)
        liked = score + _LOWERED_IS_USUAL * reading.text.count("_{")
        key = meaning(reading.text)
        old = best.get(key)
        if old is None:
            best[key], shown[key] = Scored(reading, ink, score), liked
            continue
        if liked > shown[key]:
            old, shown[key] = replace(old, reading=reading), liked
        both = float(np.logaddexp(old.ink, ink)), float(np.logaddexp(old.score, score))
        best[key] = Scored(old.reading, *both)
    return best


def _pairs(uppers: list[Path], lowers: list[Path]) -> list[tuple[float, Path, Path]]:
    pairs = [(u.score + v.score, u, v) for u in uppers for v in lowers]
    pairs.sort(key=lambda pair: -pair[0])
    return pairs[: _WIDTH + 4]


def _joined(first: dict[str, Scored], other: dict[str, Scored], larger: float) -> dict[str, Scored]:
    """Return the readings of both views, each with its mean chance."""
    floors = [
        min((s.ink for s in view.values()), default=0.0) - _UNHEARD for view in (first, other)
    ]
    found = {}
    for key in first.keys() | other.keys():
        one, two = first.get(key), other.get(key)
        inks = [one.ink if one else floors[0], two.ink if two else floors[1]]
        known = one or two
        assert known is not None
        ink = float(np.logaddexp(inks[0], inks[1])) - math.log(2)
        reading = known.reading if one else _back(known.reading, larger)
        leads = _lead(first, key), _lead(other, key)
        found[key] = Scored(reading, ink, ink + known.score - known.ink, leads)
    return found


def _lead(view: dict[str, Scored], key: str) -> float:
    """Return how far a reading is ahead of the others in a view, −8 to 8."""
    others = [one.score for other, one in view.items() if other != key]
    if not others:
        return _FARTHEST
    own = view[key].score if key in view else min(others) - _UNHEARD
    return max(-_FARTHEST, min(_FARTHEST, own - max(others)))


def _back(reading: Written, larger: float) -> Written:
    """Return a reading of the other view with its columns as the first view counts them."""
    columns = tuple(None if c is None else round(c / larger) for c in reading.columns)
    return replace(reading, columns=columns)


def _sorted(found: dict[str, Scored]) -> list[Scored]:
    return sorted(found.values(), key=lambda one: (-one.score, one.reading.text))
