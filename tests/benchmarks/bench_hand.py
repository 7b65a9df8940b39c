"""How well lines of unseen hands are read: `python tests/benchmarks/bench_hand.py --data FOLDER`.

FOLDER holds `library.npz`, built by the training command from the public collections. The hands
are held out: 16 writers, 8 pen fonts, and sheets of a photographed collection of which training saw
other sheets; every other hand of each is measured. Doubt is fitted on the other writers and fonts,
not on the sheets, since training knows their like. Lines are composed (people.py) and
photographed by a camera model, not by people; say so wherever a figure is quoted. `--fit` fits
the reader's doubt and writes it down.
"""

# ruff: noqa: T201  (a command that prints its table)

import argparse
import json
import math
import os
import re
import sys
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as reading sets it, were it loaded first

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parent))
from people import DATASETS, OTHER_SHEETS, PAPERS, Line, People

from verifier.notation.tree import Names
from verifier.reading import hand, own_hand
from verifier.reading.decimal_sign import with_sign
from verifier.reading.hand_weights import WEIGHTS, network, trust
from verifier.reading.training.library import Library
from verifier.reading.training.markup import Circled, Node, Root, Script, Sign, Stack, parse
from verifier.reading.training.measure import distance

SURE_MISREAD = 0.005  # half the aim, since the fitting lines are few
_TOKEN = re.compile(r"_\{|\^\{|.")
_TIMES = re.compile(r"(?<=[0-9)½])x(?=[0-9(.])")


def plain(row: list[Node]) -> str:
    """Return a line of markup as the plain notation it should be read as."""
    out = ""
    for node in row:
        match node:
            case Sign(text=text):
                out += text
            case Script(row=inner, up=up):
                held = plain(inner)
                out += f"^{held}" if up and len(held) == 1 else f"{'^' if up else '_'}{{{held}}}"
            case Stack(top=top, low=low):
                out += f"({plain(top)})/({plain(low)})"
            case Root(row=inner):
                out += f"√({plain(inner)})"
            case Circled(text=text):
                out += f"({text})"
    return out


def pieces(text: str) -> list[str]:
    """Return the tokens of plain notation, blanks apart."""
    return _TOKEN.findall(_TIMES.sub("×", text.replace(" ", "")))


def understood(text: str) -> str:
    """Return what a line means: R_{A} and RA are one name, 2,5 and 2.5 one figure."""
    return with_sign(re.sub(r"_\{(\w+)\}", r"\1", "".join(pieces(text))), ".")


@dataclass
class Tally:
    """Counts of one group of lines."""

    lines: int = 0
    right: int = 0
    same: int = 0
    wrong: int = 0
    tokens: int = 0
    sure: int = 0
    sure_wrong: int = 0
    among: int = 0

    def row(self, name: str) -> str:
        """Return a row of the table."""
        n = max(1, self.lines)
        misread = self.sure_wrong / max(1, self.sure)
        return (
            f"{name:34} {self.wrong / max(1, self.tokens):7.2%} {self.right / n:7.1%} "
            f"{self.same / n:7.1%} {self.among / n:7.1%} {self.sure / n:7.1%} "
            f"{misread:7.2%} {self.lines:6d}"
        )


def writers(library: Library, each: int, first: int, half: int = 1) -> list[People]:
    """Return the same number of sheets of every kind of hand and paper, of one half of them."""
    return [
        People(library, dataset, paper, first + k, half)
        for dataset in DATASETS
        for paper in PAPERS
        for k in range(each)
    ]


def names_of(people: People) -> Names:
    """Return what a sheet would offer for these lines."""
    return Names(joints=frozenset(people.sentences.joints))


def count(tally: Tally, line: Line, ways: list[hand.Way]) -> None:
    """Add one line's reading to a tally."""
    expected = plain(parse(line.text))
    text, chance = (ways[0][0], ways[0][1]) if ways else ("", 0.0)
    tally.lines += 1
    tally.tokens += len(pieces(expected))
    tally.wrong += distance(pieces(text), pieces(expected))
    right = pieces(text) == pieces(expected)
    same = understood(text) == understood(expected)
    tally.right += right
    tally.same += same
    tally.among += any(understood(way[0]) == understood(expected) for way in ways)
    if chance >= trust().sure:
        tally.sure += 1
        tally.sure_wrong += not same


def read(images: Sequence[NDArray[np.uint8]], names: Names, alone: bool) -> list[list[hand.Way]]:
    """Return the readings of a sheet's lines, judged together or each alone."""
    if alone:
        return [hand.read_lines([image], names)[0] for image in images]
    return hand.read_lines(images, names)


def bench(library: Library, each: int, lines: int, first: int, alone: bool) -> None:
    """Print the table of readings and the row of repairs."""
    groups: dict[str, Tally] = defaultdict(Tally)
    seconds = total = 0.0
    for people in writers(library, each, first):
        sheet = [people.line() for _ in range(lines)]
        start = time.perf_counter()
        every = read([line.image for line in sheet], names_of(people), alone)
        seconds += time.perf_counter() - start
        total += lines
        for line, ways in zip(sheet, every, strict=True):
            for group in (line.dataset, f"{line.paper} paper", "all"):
                count(groups[group], line, ways)
    heads = (
        ("token", "line", "meant", "among", "called", "of sure", ""),
        ("error", "right", "right", "n best", "sure", "misread", "lines"),
    )
    for head in heads:
        print(" " * 34 + "".join(f"{word:>8}" for word in head))
    for name in (*DATASETS, *(f"{p} paper" for p in PAPERS), "all"):
        print(groups[name].row(name))
    print(f"{1000 * seconds / total:.0f} ms a line")


def planted(text: str, rng: Random) -> tuple[str, int, str] | None:
    """Return a line with one sign, figure, function or name changed, where, and what it was."""
    kind = rng.choice(["sign", "digit", "function", "name"])
    found = {
        "sign": r"(?<=[\w})])[+-](?=[\w])", "digit": r"\d", "function": r"sin|cos",
        "name": r"(?<=_\{)[A-Z]",
    }[kind]  # fmt: skip
    spots = list(re.finditer(found, text))
    if not spots:
        return None
    spot = rng.choice(spots)
    old = spot.group()
    if kind == "sign":
        new = "-" if old == "+" else "+"
    elif kind == "function":
        new = "cos" if old == "sin" else "sin"
    else:
        new = rng.choice([c for c in ("0123456789" if kind == "digit" else "ABCDEFGH") if c != old])
    return text[: spot.start()] + new + text[spot.end() :], spot.start(), old


def repairs(library: Library, each: int, lines: int, first: int, alone: bool) -> None:
    """Print how often a planted mistake is read as what it replaced, and as anything else."""
    repaired = misread = total = tokens = errors = 0
    for people in writers(library, each, first):
        rng = Random(repr(people.size))
        changes = [planted(people.sentences.line(), rng) for _ in range(lines)]
        sheet = [change for change in changes if change is not None]
        images = [people.line(text).image for text, _, _ in sheet]
        every = read(images, names_of(people), alone)
        for (text, at, old), ways in zip(sheet, every, strict=True):
            said = ways[0][0] if ways else ""
            expected = pieces(plain(parse(text)))
            errors += distance(pieces(said), expected)
            tokens += len(expected)
            new = len(text) - len(people_original(text, at, old))
            before = plain(parse(people_original(text, at, old)))
            total += 1
            to_old = distance(pieces(said), pieces(before))
            to_new = distance(pieces(said), expected)
            repaired += to_old < to_new
            misread += to_old == to_new and new == 0
    print(
        f"planted mistakes: {total}; read as what they replaced {repaired / max(1, total):.2%}, as "
        f"something else {misread / max(1, total):.2%}; token error of these lines "
        f"{errors / max(1, tokens):.2%}"
    )


def people_original(text: str, at: int, old: str) -> str:
    """Return the line before a mistake was planted at column `at`."""
    return text[:at] + old + text[at + len(old) :]


def fit(library: Library, each: int, lines: int, first: int) -> None:
    """Fit the probability of a right line on these lines; write it beside the weights."""
    rows, rights = [], []
    for people in writers(library, each, first, 0):
        if people.dataset == OTHER_SHEETS:
            continue
        names = names_of(people)
        sheet = [
            (line, hand.look(line.image, names)) for line in (people.line() for _ in range(lines))
        ]
        seen = [(line, looked.heard) for line, looked in sheet if looked]
        every = own_hand.settled([line for _, line in seen])
        for (line, _), found in zip(seen, every, strict=True):
            if found:
                rows.append((1.0, *hand.features(found)))
                expected = understood(plain(parse(line.text)))
                rights.append(float(understood(found[0].reading.text) == expected))
    x, y = np.array(rows), np.array(rights)
    beta = np.zeros(4)
    for _ in range(40):
        p = 1 / (1 + np.exp(-x @ beta))
        pull = x.T @ (y - p) - 0.5 * beta
        curve = (x * (p * (1 - p))[:, None]).T @ x + 0.5 * np.eye(4)
        beta += np.linalg.solve(curve, pull)
    p = 1 / (1 + np.exp(-x @ beta))
    order = np.argsort(-p)  # as many as keep the share of misread ones below the aim
    wrong = np.cumsum(1 - y[order]) / np.arange(1, len(y) + 1)
    good = np.flatnonzero((wrong <= SURE_MISREAD) & (np.arange(len(y)) > 20))
    sure = float(p[order][good[-1]]) if len(good) else 0.99
    path = WEIGHTS / "reader.json"
    card = json.loads(path.read_text(encoding="utf-8"))
    card["trust"] = {
        "temperature": 1.0, "bias": round(beta[0], 4), "lead": round(beta[1], 4),
        "least": round(beta[2], 4), "length": round(beta[3], 4),
        "sure": math.floor(sure * 1e4) / 1e4,
    }  # fmt: skip
    path.write_text(json.dumps(card, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    called = p >= sure
    print(
        f"{len(y)} lines, {y.mean():.1%} right; sure from {sure:.3f}: {called.mean():.1%} of "
        f"lines, {(1 - y[called]).mean():.2%} of them misread"
    )


def main() -> None:
    """Run the benchmark, or fit the doubt."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--each", type=int, default=20, help="sheets of each hand and paper")
    parser.add_argument("--lines", type=int, default=5, help="lines a sheet")
    parser.add_argument("--first", type=int, default=0, help="another number: other sheets")
    parser.add_argument("--alone", action="store_true", help="every line without its sheet")
    parser.add_argument("--fit", action="store_true")
    given = parser.parse_args()
    library = Library(given.data / "library.npz")
    network()
    if given.fit:
        fit(library, given.each, given.lines, 10_000)
        return
    bench(library, given.each, given.lines, given.first, given.alone)
    repairs(library, given.each, given.lines, given.first + 5_000, given.alone)


if __name__ == "__main__":
    main()
