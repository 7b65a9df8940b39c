"""Fits how shapes are compared on a page: `python tests/benchmarks/fit_own_hand.py --data FOLDER`.

Pages in hands that training learnt from are composed (people.py), photographed by a camera model
and read; `training/likeness.py` learns from what was read surely and what was in doubt. A hand's
samples are dealt like cards, so that a page shows the same stroke twice only where the collection
has no other. Writes `own_hand.npz` beside the weights; needs the extra `train`.
"""

# ruff: noqa: T201  (a command that prints what it did)

import argparse
import hashlib
import json
import os
import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from multiprocessing import get_context
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as reading sets it, were it loaded first

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[2]))
from bench_hand import names_of, plain, understood
from people import DATASETS, PAPERS, People

from verifier.reading import hand, own_hand
from verifier.reading.hand_tokens import Token
from verifier.reading.hand_views import Heard, Scored, ordered
from verifier.reading.hand_weights import WEIGHTS
from verifier.reading.training.library import Library
from verifier.reading.training.likeness import Doubt, Page, Sign, begun, learnt
from verifier.reading.training.markup import parse

_RIVALS = 6  # of a line's right reading, at most …
_BEHIND = 7.0  # … and no farther behind it
Asked = tuple[str, str, int, int]
held: dict[str, Library] = {}


class Plain(own_hand.Likeness):
    """Comparing nothing: shapes as the network gives them."""

    def __init__(self) -> None:
        super().__init__(np.eye(1), np.ones(1), {})

    def told(
        self, shapes: NDArray[np.float32], token: Token, column: int
    ) -> NDArray[np.float64] | None:
        """Return a sign's shape as it is."""
        return own_hand.between_columns(shapes, column)


def learnt_from(library: Library) -> Library:
    """Return the library with the hands that training learns from in the place of the others."""
    library.hands = [
        replace(one, split="val", kind="photographed" if one.kind == "sheet" else one.kind)
        for one in library.hands
        if one.split == "train"
    ]
    return library


def start(data: Path) -> None:
    """Make a process ready to read pages."""
    cv2.setNumThreads(1)
    held["library"] = learnt_from(Library(data / "library.npz"))


def page(asked: Asked) -> Page:
    """Compose and read a page."""
    dataset, paper, seed, lines = asked
    people = People(held["library"], dataset, paper, seed, dealt=True)
    signs: list[Sign] = []
    doubts: list[Doubt] = []
    for number in range(lines):
        line = people.line()
        seen = hand.look(line.image, names_of(people))
        found = ordered(seen.heard.groups) if seen else []
        if seen is None or not found:
            continue
        for token, one in own_hand.examples(Plain(), seen.heard, found, number):
            shape = one.shape.astype(np.float16)
            signs.append(Sign(number, one.stream, one.column, own_hand.kind_of(token), shape))
        doubts += _doubts(seen.heard, found, plain(parse(line.text)), number)
    return Page(people.hands[0].name, signs, doubts)


def _doubts(line: Heard, found: list[Scored], written: str, number: int) -> Iterator[Doubt]:
    """Yield where the right reading and another differ in one sign."""
    expected = understood(written)
    right = next((one for one in found if understood(one.reading.text) == expected), None)
    if right is None:
        return
    near = [one for one in found if understood(one.reading.text) != expected]
    near = [one for one in near if right.score - one.score <= _BEHIND][:_RIVALS]
    told = {one.numbers: one for group in line.groups.values() for one in group}
    for one in near:
        changes = own_hand.changes(told[right.numbers], told[one.numbers])
        if len(changes) == 1:
            (stream, *places), = changes  # fmt: skip
            both = (
                Sign(number, stream, column, own_hand.kind_of(token),
                     own_hand.between_columns(line.shapes, column).astype(np.float16))
                for token, column in places
            )  # fmt: skip
            yield Doubt(*both, right.score - one.score)


def main() -> None:
    """Compose, read, learn and write down."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--each", type=int, default=96, help="pages of each kind of hand and paper")
    parser.add_argument("--lines", type=int, default=16, help="lines a page")
    parser.add_argument("--first", type=int, default=70_000)
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    seeds = range(given.first, given.first + given.each)
    asked = [(*kind, seed, given.lines) for seed, *kind in product(seeds, DATASETS, PAPERS)]
    with get_context("spawn").Pool(given.workers, start, (given.data,)) as pool:
        pages = pool.map(page, asked, chunksize=4)
    signs, doubts = sum(len(p.signs) for p in pages), sum(len(p.doubts) for p in pages)
    print(f"{len(pages)} pages, {signs} sure signs, {doubts} doubts", flush=True)
    path, card_path = WEIGHTS / "own_hand.npz", WEIGHTS / "reader.json"
    np.savez(path, **learnt(pages, begun(pages)))
    card = json.loads(card_path.read_text(encoding="utf-8"))
    card["own_hand_sha256"] = hashlib.sha256(path.read_bytes()).hexdigest()
    card_path.write_text(json.dumps(card, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
