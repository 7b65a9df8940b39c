"""The glyph library: every source of pen strokes, brought into one frame and one file.

Frame: x right, y down, baseline at 0, capitals about 1 high (so their top is at −1). A *hand* is
one writer or one pen font; `pool` hands are the anonymous visitors of a symbol collection, from
whom any writer may borrow the signs that he lacks.
"""

import csv
import json
import lzma
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from verifier.reading.hand_tokens import DIGITS, GREEK, LOWER, UPPER
from verifier.reading.training import photographed
from verifier.reading.training.skeleton import strokes_of

SCALE = 256.0
HELD_OUT_FONTS = {
    "Patrick Hand", "Reenie Beanie", "Homemade Apple", "Kristi", "Gochi Hand", "Nanum Pen",
    "Licorice", "Edu QLD Beginner",
}  # fmt: skip
FONT_SIGNS = DIGITS + UPPER + LOWER + GREEK + "+-=()/.,'*×·÷≈<>[]{}|:;!?%\"@&±→←↑↓°½√"
_SYMBOL_SIZE = {
    "Σ": 1.1, "Δ": 1.0, "△": 1.0, "θ": 0.9, "α": 0.65, "β": 1.0, "γ": 0.8, "δ": 0.95, "λ": 0.95,
    "μ": 0.75, "π": 0.65, "φ": 1.0, "ω": 0.65, "σ": 0.65, "°": 0.26, "·": 0.1, "×": 0.45,
    "÷": 0.5, "±": 0.7, "≈": 0.6, "≠": 0.65, "≤": 0.7, "≥": 0.7, "→": 1.1, "←": 1.1, "↑": 1.1,
    "↓": 1.1, "⇒": 1.0, "∴": 0.6, "↺": 1.0, "↻": 1.0, "↶": 1.0, "↷": 1.0, "√": 1.1, "∠": 0.8,
    "⊥": 0.8, "↗": 0.9, "↘": 0.9, "↙": 0.9, "↖": 0.9, "∞": 0.8, "∥": 0.9, "′": 0.3,
}  # fmt: skip
_CENTRE = {
    **dict.fromkeys("+-=<>*×÷±≈≠≤≥→←⇒↔∞·∴·", -0.42),
    **dict.fromkeys("()[]{}|/↑↓↺↻↶↷∠⊥∥↗↘↙↖@&%", -0.46),
    "°": -0.95, "'": -0.95, '"': -0.95, "′": -0.95,
}  # fmt: skip
_SAME = {"′": "'", "△": "Δ", "↶": "↺", "↷": "↻"}
_XHEIGHT = "acemnorsuvwxz"
_DROPPED = {"β": 0.25, "γ": 0.3, "μ": 0.25, "φ": 0.2, ",": 0.16, ";": 0.16, "j": 0.3, "Q": 0.05}


@dataclass
class Hand:
    """One writer: `glyphs[sign]` are numbers into the library's glyph table."""

    name: str
    kind: str
    split: str
    glyphs: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))


class Builder:
    """Collects glyphs and writes the library's arrays."""

    def __init__(self) -> None:
        self.points: list[NDArray[np.float32]] = []
        self.lengths: list[list[int]] = []
        self.bearings: dict[int, tuple[float, float]] = {}
        self.hands: dict[str, Hand] = {}

    def add(
        self, hand: Hand, sign: str, strokes: list[NDArray[np.float32]],
        bearings: tuple[float, float] | None = None,
    ) -> None:  # fmt: skip
        """Take one glyph, already in the library's frame, with x from 0.

        A font's glyph has `bearings`: the room that its font gives it to the left and the right.
        """
        hand = self.hands.setdefault(hand.name, hand)
        kept = [s for s in strokes if len(s)]
        if not kept:
            return
        if bearings is not None:
            self.bearings[len(self.lengths)] = bearings
        hand.glyphs[sign].append(len(self.lengths))
        self.lengths.append([len(s) for s in kept])
        self.points.append(np.concatenate(kept))

    def save(self, path: Path) -> None:
        """Write one compressed npz."""
        points = np.concatenate(self.points) * SCALE
        counts = np.array([len(s) for s in self.lengths], np.int32)
        flat = np.array([n for s in self.lengths for n in s], np.int32)
        hands = [(h.name, h.kind, h.split, dict(h.glyphs)) for h in self.hands.values()]
        beside = np.full((len(self.lengths), 2), np.nan, np.float16)
        for at, pair in self.bearings.items():
            beside[at] = pair
        np.savez_compressed(
            path,
            bearings=beside,
            points=np.clip(np.round(points), -32000, 32000).astype(np.int16),
            strokes=flat,
            counts=counts,
            hands=np.frombuffer(json.dumps(hands).encode(), np.uint8),
        )


def build(data: Path, fonts: Path, out: Path) -> None:
    """Read every source under `data` and the font files under `fonts`; write the library."""
    builder = Builder()
    _pen_strokes(builder, data / "symbols.jsonl.xz")
    _pen_fonts(builder, data / "fonts.tsv", fonts)
    _photographed(builder, data / "photographed_symbols.npz")
    builder.save(out)


def _pen_strokes(builder: Builder, path: Path) -> None:
    rows = []
    with lzma.open(path, "rt") as lines:
        for line in lines:
            row = json.loads(line)
            if not row.get("suspect") and row["label"]:
                rows.append(row)
    sizes: dict[str, list[float]] = defaultdict(list)
    for row in rows:
        if row["writer"] and row["label"] in _XHEIGHT:
            sizes[row["writer"]].append(max(y for s in row["strokes"] for _, y in s) / 100)
    xheight = {w: float(np.median(v)) for w, v in sizes.items()}
    for row in rows:
        strokes = [np.array(s, np.float32) for s in row["strokes"] if s]
        sign = _SAME.get(row["label"], row["label"])
        source = row["source"].split("/")[0]
        if source == "unipen":
            hand = Hand(row["writer"], "strokes", row["split"])
            placed = _placed(
                sign, [s / np.float32(100) for s in strokes], xheight.get(row["writer"], 0.6)
            )
        else:
            name = f"{source}-{row['split']}"
            hand = Hand(name, "pool", row["split"])
            placed = _placed(sign, _fitted(sign, strokes), 0.6)
        builder.add(hand, sign, placed)


def _fitted(sign: str, strokes: list[NDArray[np.float32]]) -> list[NDArray[np.float32]]:
    every = np.concatenate(strokes)
    size = float(np.ptp(every, axis=0).max()) or 1.0
    target = _SYMBOL_SIZE.get(sign, 0.62 if sign in LOWER else 1.0)
    return [s * (target / size) for s in strokes]


def _placed(
    sign: str, strokes: list[NDArray[np.float32]], xheight: float
) -> list[NDArray[np.float32]]:
    """Put a glyph on the baseline, which the collections do not keep."""
    every = np.concatenate(strokes)
    low, high = every.min(axis=0), every.max(axis=0)
    if sign in "gpqy":
        dy = -xheight - low[1]
    elif sign in _CENTRE:
        dy = _CENTRE[sign] - (low[1] + high[1]) / 2
    else:
        dy = _DROPPED.get(sign, 0.0) - high[1]
    return [s + np.array([-low[0], dy], np.float32) for s in strokes]


def font_files(table: Path, fonts: Path) -> list[tuple[str, str, Path]]:
    """Return (family, note, file) for each family of the table found under `fonts`."""
    found = []
    every = [p for e in ("ttf", "otf", "woff") for p in fonts.rglob(f"*.{e}")]
    with table.open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines, delimiter="\t"):
            family, key = row["family"], row["family"].replace(" ", "").lower()
            folder = row["package"].split("/")[-1].replace("debian:", "")
            names = {
                "kiloji - P": "kiloji_p", "DkgHandwriting": "dkg", "SetoFont": "setofont",
                "Nanum Pen": "nanumpenscript",
            }  # fmt: skip
            key = names.get(family, key)
            match = sorted(
                (p for p in every if _family_match(p, key, folder)),
                key=lambda p: ("400" not in p.name, "Italic" in p.name, len(p.name)),
            )
            if match:
                found.append((family, row["note"] or "", match[0]))
    return found


def _family_match(path: Path, key: str, folder: str) -> bool:
    stem = path.stem.replace("-", "").lower()
    if not (stem == key or stem.startswith((key + "_4", key + "_7", key + "regular"))):
        return path.suffix == ".woff" and path.name.startswith(f"{folder}-latin-400-normal")
    return path.suffix != ".woff"


def _pen_fonts(builder: Builder, table: Path, fonts: Path) -> None:
    from fontTools.ttLib import TTFont

    for family, note, path in font_files(table, fonts):
        known = TTFont(path).getBestCmap()
        probe = ImageFont.truetype(str(path), 100)
        top = -probe.getbbox("H", anchor="ls")[1] or 70
        font = ImageFont.truetype(str(path), max(20, round(100 * 64 / top)))
        split = "val" if family in HELD_OUT_FONTS else "train"
        hand = Hand(f"font {family}", "font", split)
        for sign in FONT_SIGNS:
            if ord(sign) in known and not (note == "caps-only" and sign in LOWER):
                ink, origin = _drawn(font, sign)
                strokes = [(s - origin) / 64.0 for s in strokes_of(ink)]
                if strokes:
                    every = np.concatenate(strokes)[:, 0]
                    left, right = float(every.min()), float(every.max())
                    moved = [s - np.array([left, 0], np.float32) for s in strokes]
                    builder.add(hand, sign, moved, (left, font.getlength(sign) / 64 - right))


def _drawn(
    font: ImageFont.FreeTypeFont, sign: str
) -> tuple[NDArray[np.bool_], NDArray[np.float32]]:
    image = Image.new("L", (260, 260), 0)
    ImageDraw.Draw(image).text((90, 160), sign, fill=255, font=font, anchor="ls")
    return np.asarray(image) > 110, np.array([90, 160], np.float32)


def _photographed(builder: Builder, path: Path) -> None:
    """Take sheets to learn from, and others that no training line uses, for the test.

    What is measured on lies in two rows, so that neighbours in the collection, which may be of one
    writer, come to the same half of the benchmark's hands.
    """
    found = list(photographed.signs(path))
    count = len(photographed.MEASURED) // photographed.FEW
    order = [k for pair in zip(range(count // 2), range(count // 2, count), strict=True)
             for k in pair]  # fmt: skip
    learnt = [f"sheet {k}" for k in range(len(photographed.LEARNT) // photographed.SHEET)]
    for kind, split, names in (
        ("photographed", "test", [f"photographed {k}" for k in order]), ("sheet", "train", learnt)
    ):  # fmt: skip
        for name in names:
            for sign, taught, number, strokes in found:
                if taught == (kind == "sheet") and number == int(name.split()[1]):
                    builder.add(Hand(name, kind, split), sign, _placed(sign, strokes, 0.6))


class Library:
    """The library as read back: `glyph(i)` gives points (N, 2) and the lengths of the strokes."""

    def __init__(self, path: Path) -> None:
        held = np.load(path)
        self.points = held["points"].astype(np.float32) / SCALE
        self.strokes = held["strokes"]
        none = np.full((len(held["counts"]), 2), np.nan)
        self.bearings = np.asarray(held.get("bearings", none), np.float32)
        per_glyph = held["counts"]
        self.first = np.concatenate([[0], np.cumsum(per_glyph)]).astype(np.int64)
        ends = np.concatenate([[0], np.cumsum(self.strokes)])
        self.start = ends[self.first].astype(np.int64)
        starts = self.start[:-1]
        self.low = np.minimum.reduceat(self.points, starts, axis=0)
        self.high = np.maximum.reduceat(self.points, starts, axis=0)
        raw = json.loads(held["hands"].tobytes().decode())
        self.hands = [Hand(n, k, s, g) for n, k, s, g in raw]
        self.even: dict[int, NDArray[np.float32]] = {}  # glyphs at even points, as they are asked

    def beside(self, index: int) -> tuple[float, float] | None:
        """Return the room to the left and the right of a glyph in its font, or None."""
        left, right = self.bearings[index].tolist()
        return (left, right) if left == left else None

    def joins(self, hand: Hand) -> bool:
        """Return whether the small letters of a font run into each other, or nearly do."""
        held = [hand.glyphs[s][0] for s in "acdehilmnu" if hand.glyphs.get(s)]
        return bool(held) and float(np.median(self.bearings[held].sum(axis=1))) < 0.13

    def glyph(self, index: int) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
        """Return the points and stroke lengths of one glyph."""
        return (
            self.points[self.start[index] : self.start[index + 1]],
            self.strokes[self.first[index] : self.first[index + 1]],
        )
