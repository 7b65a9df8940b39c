"""A line's readings from two views of it: as it stands, and a little larger and leaning.

Each view offers readings by its two streams, and those near to its likeliest one; all of them are
then judged in both views, by the streams and by the decoder. A line that the first view reads
beyond doubt is not looked at again.
"""

import math
import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean as mean

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.notation.tree import Names
from verifier.reading.decimal_sign import with_sign
from verifier.reading.hand_beam import Path, best_paths, chances, log_softmax
from verifier.reading.hand_image import HEIGHT, STEP, WIDEST, Prepared
from verifier.reading.hand_near import near
from verifier.reading.hand_prior import Offered, weight
from verifier.reading.hand_text import Written, placed, written
from verifier.reading.hand_tokens import spoken
from verifier.reading.hand_weights import decoder, network

_WIDTH = 10
_LOWER_WIDTH = 4
_LARGER, _LEAN = 1.12, 0.1
_CLEAR_INK, _CLEAR_LEAD = -0.2, 2.2  # of the fitting hands, a second look mends none of these
# how much streams and decoder count beside the preference: chosen on the fitting hands
_STREAMS, _DECODER = 0.2, 0.35
_HOPELESS = 8.0  # a reading so far behind by the streams of all views is not looked into
LOWERED_IS_USUAL = 0.7  # nats for each index that is lowered
_FARTHEST = 8.0
Picture = NDArray[np.float32]
Numbers = tuple[tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True)
class Scored:
    """A reading with its log chances: by ink, and with the preference added.

    `leads` says how far it is ahead of the best other reading, −8 to 8: by everything together,
    and by whoever sees it least ahead of streams and decoder in each view.
    """

    reading: Written
    ink: float
    score: float
    leads: tuple[float, float] = (0.0, 0.0)
    numbers: Numbers = ((), ())


class View:
    """One view of a line: what it offers, and how it judges any reading (token numbers)."""

    def __init__(self, picture: Picture, larger: float = 1.0) -> None:
        above, below, columns, self.shapes = network().scores(picture)
        self.seen = decoder().look(columns)
        self.above, self.below, self.larger = log_softmax(above), log_softmax(below), larger
        self.by_streams: dict[Numbers, float] = {}
        self.by_decoder: dict[Numbers, float] = {}
        uppers, lowers = best_paths(self.above, _WIDTH), best_paths(self.below, _LOWER_WIDTH)
        pairs = sorted(((u, v) for u in uppers for v in lowers), key=lambda p: -_sum(p))
        self.offers = pairs[: _WIDTH + 4]
        self.near: list[tuple[Path, Path]] = []

    def look_near(self, upper: Path, lower: Path) -> None:
        """Offer as well what differs from a reading at a single place."""
        self.near = [(one, lower) for one in near(self.above, upper, 0)]
        self.near += [(upper, one) for one in near(self.below, lower, 1)]

    def hear(self, readings: Sequence[Numbers]) -> None:
        """Give every reading its log chance by the streams."""
        new = [one for one in readings if one not in self.by_streams]
        if not new:
            return
        above = chances(self.above, [upper for upper, _ in new])
        below = chances(self.below, [lower for _, lower in new])
        for one, up, low in zip(new, above, below, strict=True):
            self.by_streams[one] = up + low

    def judge(self, readings: Sequence[Numbers]) -> None:
        """Give every reading its log chances by the streams and by the decoder."""
        self.hear(readings)
        new = [one for one in readings if one not in self.by_decoder]
        if new:
            costs = decoder().costs(self.seen, [spoken(*one) for one in new])
            self.by_decoder.update((one, -cost) for one, cost in zip(new, costs, strict=True))


def ranked(prepared: Prepared, names: Names | None, offered: Offered) -> list[Scored]:
    """Return the readings of a picture that differ in meaning, likeliest first."""
    return ordered(heard(prepared, names, offered).groups)


def heard(prepared: Prepared, names: Names | None, offered: Offered) -> "Heard":
    """Return all readings of a picture, judged, and what its signs look like."""
    views = [View(prepared.picture)]
    liked: dict[str, float] = {}
    groups = judged(views, names, offered, liked)
    if groups and not clear(ordered(groups)):
        views.append(View(*second(prepared.picture)))
        groups = judged(views, names, offered, liked)
        _look_near(views, ordered(groups)[0].numbers)
        groups = judged(views, names, offered, liked)
    return Heard(groups, views[0].shapes)


def _look_near(views: Sequence[View], numbers: Numbers) -> None:
    """Let every view offer what is near to a reading that one of them offers."""
    upper, lower, larger = next(
        (upper, lower, view.larger)
        for view in views
        for upper, lower in view.offers
        if (upper.tokens, lower.tokens) == numbers
    )
    for view in views:
        scale = view.larger / larger
        view.look_near(_moved(upper, scale, len(view.above)), _moved(lower, scale, len(view.below)))


def _moved(path: Path, scale: float, end: int) -> Path:
    columns = tuple(min(end - 1, round(column * scale)) for column in path.columns)
    return replace(path, columns=columns)


def clear(found: list[Scored]) -> bool:
    """Return whether the likeliest reading leaves no doubt but how its words are spelt."""
    said = [_WORD.sub("", one.reading.text) for one in found]
    alike = [one.ink for one, text in zip(found, said, strict=True) if text == said[0]]
    other = next((one for one, text in zip(found, said, strict=True) if text != said[0]), None)
    lead = found[0].score - other.score if other else _CLEAR_LEAD
    return _together(alike) > _CLEAR_INK and lead >= _CLEAR_LEAD


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


_WORD = re.compile(r"(?<![A-Za-z_{])[A-Za-z][a-z]{3,}(?![A-Za-z_])")
_LOWERED = re.compile(r"(?<=[A-Za-zΣ])_\{([A-Za-z0-9]+)\}(?![A-Za-z0-9])")


def meaning(text: str) -> str:
    """Return a line without blanks, without the braces of indices, with points for commas.

    >>> meaning("V_{B} = 3,1 kN") == meaning("VB = 3.1kN")
    True
    """
    return _LOWERED.sub(r"\1", with_sign(text, ".")).replace(" ", "")


def judged(
    views: Sequence[View], names: Names | None, offered: Offered, liked: dict[str, float]
) -> dict[str, list["Told"]]:
    """Return all readings that views offer, judged in each of them, by their meaning.

    `liked` keeps the preference for each text from one call to the next.
    """
    known: dict[Numbers, tuple[Path, Path, float]] = {}
    for view in views:
        for upper, lower in view.offers:
            known.setdefault((upper.tokens, lower.tokens), (upper, lower, view.larger))
    searched = {*known}
    for view in views:
        for upper, lower in view.near:
            known.setdefault((upper.tokens, lower.tokens), (upper, lower, view.larger))
    for view in views:
        view.hear(list(known))
    highest = [max(view.by_streams[one] for one in known) for view in views]
    known = {
        one: held
        for one, held in known.items()
        if any(v.by_streams[one] > h - _HOPELESS for v, h in zip(views, highest, strict=True))
    }
    for view in views:
        view.judge(list(known))
    groups: dict[str, list[Told]] = defaultdict(list)
    for numbers, (upper, lower, larger) in known.items():
        reading = written(placed(upper, lower))
        if reading.text not in liked:
            liked[reading.text] = weight(reading.text, names, offered)
        groups[meaning(reading.text)].append(
            Told(
                reading if larger == 1.0 else _back(reading, larger),
                liked[reading.text],
                [view.by_streams[numbers] for view in views],
                [view.by_decoder[numbers] for view in views],
                numbers,
                numbers in searched,
                (_at(upper, larger), _at(lower, larger)),
            )
        )
    return groups


@dataclass(frozen=True)
class Told:
    """A reading with the preference for it, and its log chances by streams and decoder a view."""

    reading: Written
    liked: float
    streams: list[float]
    decoder: list[float]
    numbers: Numbers = ((), ())
    searched: bool = True  # found by the search, not only near to what it found
    at: Numbers = ((), ())  # the first view's column of each token of both streams

    def chances(self) -> list[float]:
        """Return its log chance by each judge in each view."""
        return [*self.streams, *self.decoder]

    def ink(self) -> float:
        """Return its log chance by ink, over all views."""
        return _STREAMS * mean(self.streams) + _DECODER * mean(self.decoder)

    def lowered(self) -> int:
        """Return how many of its indices are lowered."""
        return self.reading.text.count("_{")

    def shown(self, lowered: float) -> float:
        """Return how likely it is among readings of one meaning, a lowered index so much more."""
        return self.ink() + self.liked + lowered * self.lowered()


Groups = dict[str, list[Told]]


@dataclass(frozen=True)
class Heard:
    """A line's readings by their meaning, and its shapes: columns of four pixels (T / 2, seen)."""

    groups: Groups
    shapes: Picture


def ordered(groups: Groups) -> list[Scored]:
    """Return one reading of each meaning, likeliest first, with its leads over the others.

    Readings that differ only in a blank or in whether an index is lowered are one: their chances
    add up, and the likeliest of them is what is shown.
    """
    found = []
    rivals = {key for key, group in groups.items() if any(told.searched for told in group)}
    whole = {key: _together([t.ink() + t.liked for t in group]) for key, group in groups.items()}
    count = len(next(iter(groups.values()))[0].chances()) if groups else 0
    judges = [
        {key: _together([t.liked + t.chances()[n] for t in group]) for key, group in groups.items()}
        for n in range(count)
    ]
    for key, group in groups.items():
        shown = max(group, key=lambda told: told.shown(LOWERED_IS_USUAL))
        leads = _lead(whole, key, rivals), min(_lead(judge, key, rivals) for judge in judges)
        ink = _together([t.ink() for t in group])
        found.append(Scored(shown.reading, ink, whole[key], leads, shown.numbers))
    return sorted(found, key=lambda one: (-one.score, one.reading.text))


def _together(logs: list[float]) -> float:
    return float(np.logaddexp.reduce(logs))


def _lead(scores: dict[str, float], key: str, rivals: set[str]) -> float:
    """Return how far a reading is ahead of all others that were searched for, −8 to 8.

    Doubt is fitted with those; the others share what it leaves.
    """
    others = [scores[other] for other in rivals if other != key]
    return max(-_FARTHEST, min(_FARTHEST, scores[key] - max(others))) if others else _FARTHEST


def _sum(pair: tuple[Path, Path]) -> float:
    return pair[0].score + pair[1].score


def _at(path: Path, larger: float) -> tuple[int, ...]:
    return tuple(round(column / larger) for column in path.columns)


def _back(reading: Written, larger: float) -> Written:
    """Return a reading of the other view with its columns as the first view counts them."""
    columns = tuple(None if c is None else round(c / larger) for c in reading.columns)
    return replace(reading, columns=columns)
