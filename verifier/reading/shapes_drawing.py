"""Printed glyphs drawn from free fonts as a camera sees them: what the glyph network learns from.

Nothing here is anybody's writing. Debian packages whose fonts are drawn: fonts-dejavu,
fonts-liberation, fonts-freefont-ttf, fonts-lato, fonts-lmodern, fonts-texgyre, fonts-noto-core,
fonts-noto-mono, fonts-stix, fonts-hack, fonts-firacode, fonts-croscore, fonts-inconsolata,
fonts-ebgaramond, fonts-roboto-unhinted, fonts-gfs-didot, fonts-junicode, fonts-cmu, fonts-symbola,
fonts-monoid, fonts-anonymous-pro, fonts-fantasque-sans, fonts-averia-sans-gwf,
fonts-sil-gentiumplus, fonts-adf-baskervald, fonts-adf-universalis, fonts-adf-gillius,
fonts-adf-accanthis. Kept apart for the test and never drawn: Carlito, Caladea, Open Sans,
JetBrains Mono, Linux Libertine, Courier Prime, Cantarell, Charis SIL, Vollkorn, Mononoki, Cabin,
Old Standard, Quattrocento.
"""

import functools
import re
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from verifier.reading import shapes
from verifier.reading.ink import Floats
from verifier.reading.shapes import Array, Metrics

Drawn = tuple[Array, Array, int, int]
_Box = tuple[int, int, int, int]

_WANTED = re.compile(
    r"DejaVu(Sans|Serif)(Mono|Condensed)?(-(Bold|Oblique|Italic|BoldOblique|BoldItalic))?\.|"
    r"Liberation(Sans|Serif|Mono|SansNarrow)-|Free(Sans|Serif|Mono)|Lato-(Regular|Italic|Bold|"
    r"Light|Medium|BoldItalic)\.|lm(roman|sans|mono)(10|12|9)-(regular|italic|bold|bolditalic|"
    r"oblique)\.|texgyre(termes|heros|heroscn|pagella|schola|bonum|cursor|adventor)-(regular|"
    r"italic|bold)\.|Noto(Sans|Serif|SansMono|SansDisplay|SerifDisplay)-(Regular|Italic|Bold)\.|"
    r"NotoMono|STIX(General|GeneralItalic|GeneralBol|GeneralBolIta)\.|Hack-|"
    r"FiraCode-(Regular|Bold|Light)|(Arimo|Tinos|Cousine)-(Regular|Italic|Bold)\.|Inconsolata|"
    r"EBGaramond12-(Regular|Italic)|Roboto(Condensed)?-(Regular|Italic|Bold|Light)\.|GFSDidot|"
    r"JunicodeTwoBeta-(Regular|Italic|Bold|Condensed|Expanded)\.|cmun(rm|ti|bx|ss|tt|bi|si|vt)\.|"
    r"Monoid-(Regular|Italic|Bold)\.|Anonymous Pro( B| I)?\.|FantasqueSansMono-(Regular|Italic)|"
    r"AveriaSansGWF-(Regular|Italic|Light)\.|GentiumPlus-(Regular|Italic|Bold)\.|"
    r"BaskervaldADFStd(-Italic|-Bold)?\.|UniversalisADFStd-(Regular|Italic|Bold|Cond)\.|"
    r"GilliusADF(No2)?-(Regular|Italic|Cond)\.|AccanthisADFStd-(Regular|Italic|Bold)\."
)
_SIGNS = re.compile(r"DejaVuSans\.|DejaVuSerif\.|DejaVuSansMono\.|Symbola|FreeSerif\.|FreeSans\.|"
                    r"FreeMono\.|FiraCode-Regular|NotoSansMath|STIXGeneral\.|latinmodern-math|"
                    r"Hack-Regular|Monoid-Regular|cmunrm\.")  # fmt: skip
_ALSO: dict[str, str] = {
    "Σ": "Σ∑", "Δ": "Δ∆", "Ω": "ΩΩ", "φ": "φϕ", "θ": "θϑ", "ε": "εϵ", "−": "−–−–−—", "-": "-‐",
    "·": "·∙⋅•", "'": "'’′‘", '"': '"”“″', "↺": "↺⟲↶", "↻": "↻⟳↷", "⇒": "⇒⟹", "→": "→⟶",
    "μ": "μµ", "✓": "✓✔", "°": "°˚", "*": "**∗", "~": "~∼", "|": "|∣", "√": "√",
}  # fmt: skip
_COMMON = (
    "0123456789" * 3 + "ABCDEFGHJKLMNPRSTUVWXYZ" * 2 + "xysincotakmrhfdeblupvwgz=+−−.·×()/°Σθα"
)
_PLAIN = frozenset("−=+.,:()/_T1LIFEJ")
_RAISED = {"−": "⁻", "1": "¹", "2": "²", "3": "³"}
_DROPPED = {str(i): chr(0x2080 + i) for i in range(10)}
_HEADED = {"→": (1, 0), "←": (-1, 0), "↑": (0, -1), "↓": (0, 1)}
_SCALE = 2.0  # glyphs are drawn this much too large and then shrunk


@functools.cache
def _font(path: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(path, size)


@functools.cache
def _has(path: str, char: str) -> bool:
    probe = _font(path, 40)
    glyph, missing = probe.getmask(char), probe.getmask("\U0010fffd")
    same = glyph.size == missing.size and bytes(glyph) == bytes(missing)
    return not same and bool(glyph.getbbox())


@functools.cache
def _cap(path: str) -> float:
    """Return the height of a capital for a type size of 1."""
    top, low = _font(path, 200).getbbox("H", anchor="ls")[1::2]
    return float(low - top) / 200


def font_files(folders: list[str]) -> tuple[list[str], list[str]]:
    """Return the text fonts and the sign fonts found under the folders."""
    every = sorted(str(f) for folder in folders for f in Path(folder).rglob("*.[to]tf"))
    text = [f for f in every if _WANTED.match(Path(f).name) and _has(f, "8") and _has(f, "R")]
    signs = [f for f in every if _SIGNS.match(Path(f).name)]
    return text, signs


def samples(count: int, seed: int, folders: list[str]) -> tuple[Array, ...]:
    """Draw `count` glyphs: crops `(N, S, S)`, places `(N, F)`, classes `(N,)`, scripts `(N,)`."""
    text, signs = font_files(folders)
    if not text or not signs:
        raise SystemExit("no fonts found")
    rng = np.random.default_rng(seed)
    drawn: list[Drawn] = []
    while len(drawn) < count:
        one = sample(rng, text, signs)
        if one is not None:
            drawn.append(one)
    crops, places, labels, scripts = zip(*drawn, strict=True)
    return (
        np.stack(crops), np.stack(places), np.array(labels, np.int32), np.array(scripts, np.int32)
    )  # fmt: skip


def sample(rng: np.random.Generator, text: list[str], signs: list[str]) -> Drawn | None:
    """Draw one glyph: its crop, its place, its class and its script; None where it has no ink."""
    path = str(rng.choice(text))
    cap = float(rng.uniform(18, 40))
    if rng.random() < 0.24:
        return _junk(rng, path, cap)
    glyph = _pick(rng)
    label = shapes.INDEX[glyph]
    script = int(rng.choice(3, p=(0.74, 0.17, 0.09))) if glyph in shapes.SCRIPTABLE else 0
    shrink = 1.0 if script == 0 else float(rng.uniform(0.55, 0.8))
    if glyph in _HEADED and rng.random() < 0.45:
        return _finish(rng, *_arrow(rng, _HEADED[glyph], cap), cap, label, 0, 0.0)
    also = _ALSO.get(glyph, glyph)
    char = str(also[int(rng.integers(len(also)))])
    if script and rng.random() < 0.3:
        ready = (_DROPPED if script == 1 else _RAISED).get(char)
        if ready and _has(path, ready):
            ink, base = _draw(path, ready, cap / _cap(path))
            return _finish(rng, ink, base, cap, label, script, 0.0)
    if not _has(path, char):
        lending = [sign for sign in signs if _has(sign, char)]
        if not lending:
            return None
        path = str(rng.choice(lending))
    shift = 0.0
    if script:
        shift = -float(rng.uniform(0.12, 0.35)) if script == 1 else float(rng.uniform(0.3, 0.62))
    ink, base = _draw(path, char, cap / _cap(path) * shrink)
    return _finish(rng, ink, base, cap, label, script, shift)


def _pick(rng: np.random.Generator) -> str:
    """Draw a glyph: half the time all alike, else as often as workings have them."""
    if rng.random() < 0.5:
        return _COMMON[int(rng.integers(len(_COMMON)))]
    return shapes.GLYPHS[int(rng.integers(shapes.JUNK))]


def _junk(rng: np.random.Generator, path: str, cap: float) -> Drawn | None:
    """Draw what is no glyph: two or three that touch, a part of one, a part of several."""
    count = int(rng.choice([1, 2, 2, 2, 3]))
    chars = [_COMMON[int(rng.integers(len(_COMMON)))] for _ in range(count)]
    if count > 1 and rng.random() < 0.15:
        chars[-2:] = [str(rng.integers(10)), "°"]
    if not all(_has(path, char) for char in chars):
        return None
    if count == 1 and chars[0] in _PLAIN:
        return None  # half of a bar is a bar
    ink, base = _draw(path, "".join(chars), cap / _cap(path), float(rng.uniform(-0.12, 0.06)))
    part = count == 1 or rng.random() < 0.25
    return _finish(rng, ink, base, cap, shapes.JUNK, 0, 0.0, part)


def _draw(path: str, text: str, size: float, track: float = 0.0) -> tuple[Array, float]:
    """Draw text `_SCALE` times too large; return ink `(H, W)` 0…1 and the row of its baseline.

    `track` is added between letters, in type sizes.
    """
    size *= _SCALE
    face = _font(path, max(8, round(size)))
    wide = int(face.getlength(text) + (2.4 + max(0.0, track) * len(text)) * size) + 8
    high, base = int(3.2 * size), 2.0 * size
    picture = Image.new("L", (wide, high), 0)
    pen, x = ImageDraw.Draw(picture), 1.1 * size
    for char in text:
        own = Image.new("L", (wide, high), 0) if track else picture
        (ImageDraw.Draw(own) if track else pen).text((x, base), char, 255, face, anchor="ls")
        if track:
            picture = Image.fromarray(np.maximum(np.asarray(picture), np.asarray(own)))
        x += face.getlength(char) + track * size
    return np.asarray(picture, np.float32) / np.float32(255), base


def _arrow(rng: np.random.Generator, way: tuple[int, int], cap: float) -> tuple[Array, float]:
    """Draw an arrow with a head of any size, open or full."""
    k = cap * _SCALE
    length, thick = rng.uniform(0.55, 1.5) * k, max(1.0, rng.uniform(0.04, 0.12) * k)
    head, half = rng.uniform(0.12, 0.42) * k, rng.uniform(0.1, 0.34) * k
    high, wide = int(3.2 * k), int(3.6 * k)
    base = 2.0 * k
    middle = base - (rng.uniform(0.22, 0.55) if way[0] else rng.uniform(0.3, 0.48)) * k
    centre, along = np.array([wide / 2, middle]), np.array(way, float)
    across = np.array([-along[1], along[0]])
    tip, tail = centre + along * length / 2, centre - along * length / 2
    wings = [tip - along * head + across * half * side for side in (1, -1)]
    canvas = np.zeros((high, wide), np.uint8)
    full = rng.random() < 0.5

    def line(a: Floats, b: Floats) -> None:
        ends = [tuple(int(v * 16) for v in p) for p in (a, b)]
        cv2.line(canvas, ends[0], ends[1], (255,), max(1, round(thick)), cv2.LINE_AA, 4)

    line(tail, tip - along * (head * 0.6 if full else thick * 0.5))
    if full:
        notch = tip - along * head * rng.uniform(0.6, 1.0)
        corners = np.round(np.array([tip, wings[0], notch, wings[1]]) * 16).astype(np.int32)
        cv2.fillPoly(canvas, [corners], (255,), cv2.LINE_AA, 4)
    else:
        for wing in wings:
            line(wing, tip)
    return canvas.astype(np.float32) / np.float32(255), base


def _finish(
    rng: np.random.Generator, ink: Array, base: float, cap: float, label: int, script: int,
    shift: float, part: bool = False,
) -> Drawn | None:  # fmt: skip
    """Blur, box and place a drawn glyph; `shift` is how far up, in capitals, a script stands."""
    small = _degrade(rng, ink)
    base = base / _SCALE
    box = _box(small, float(rng.uniform(0.26, 0.5)))
    if box is not None and part:
        box = _part(rng, box)
    if box is None:
        return None
    crop = shapes.crop(small, box)
    line = Metrics(base + shift * cap + rng.normal(0, 0.03) * cap, cap * rng.normal(1, 0.05))
    return crop, shapes.place(box, line if rng.random() < 0.75 else None), label, script


def _degrade(rng: np.random.Generator, ink: Array) -> Array:
    """Shrink a drawn glyph to its size and blur it as a camera does."""
    if rng.random() < 0.3:  # a heavier or a lighter print
        kernel = np.ones((2, 2) if rng.random() < 0.6 else (3, 3), np.uint8)
        ink = np.asarray((cv2.dilate if rng.random() < 0.6 else cv2.erode)(ink, kernel), np.float32)
    coarse = float(rng.uniform(1.2, 1.9)) if rng.random() < 0.25 else 1.0
    scale = _SCALE * coarse
    high, wide = ink.shape
    lean, slope = rng.normal(0, 0.03), rng.normal(0, 0.01)
    stretch = float(np.exp(rng.normal(0, 0.06)))
    move = np.array(
        [[stretch / scale, lean / scale, rng.random()], [slope / scale, 1 / scale, rng.random()]],
        np.float32,
    )
    ink = cv2.GaussianBlur(ink, (0, 0), max(0.3, 0.4 * scale))
    size = (int(wide * stretch / scale) + 2, int(high / scale) + 2)
    small = cv2.warpAffine(ink, move, size, flags=cv2.INTER_LINEAR)
    small = cv2.GaussianBlur(small, (0, 0), float(rng.uniform(0.3, 1.4 / coarse)))
    if rng.random() < 0.2:  # a shaken hand
        length = int(rng.integers(2, 4))
        smear = np.eye(length) if rng.random() < 0.5 else np.ones((1, length))
        small = cv2.filter2D(small, -1, smear / smear.sum())
    if rng.random() < 0.5:
        small = small + 0.5 * (small - cv2.GaussianBlur(small, (0, 0), 1.5))
    grain = rng.standard_normal(small.shape, dtype=np.float32)
    if rng.random() < 0.5:
        grain = cv2.GaussianBlur(grain, (0, 0), 0.7) * 1.6
    small = small * rng.uniform(0.85, 1.35) + grain * rng.uniform(0.0, 0.09)
    if coarse > 1:
        small = cv2.resize(small, None, fx=coarse, fy=coarse, interpolation=cv2.INTER_LINEAR)
    return np.asarray(np.clip(small, 0, 1), np.float32)


def _part(rng: np.random.Generator, box: _Box) -> _Box | None:
    x, y, w, h = box
    cut = int(w * rng.uniform(0.3, 0.75))
    if cut < 2 or w - cut < 2:
        return None
    return (x, y, cut, h) if rng.random() < 0.5 else (x + cut, y, w - cut, h)


def _box(ink: Array, level: float) -> _Box | None:
    count, _, stats, _ = cv2.connectedComponentsWithStats((ink > level).astype(np.uint8))
    stats = stats[1:count]
    stats = stats[stats[:, cv2.CC_STAT_AREA] >= 4]
    if not len(stats):
        return None
    x, y = int(stats[:, 0].min()), int(stats[:, 1].min())
    right = int((stats[:, 0] + stats[:, 2]).max())
    low = int((stats[:, 1] + stats[:, 3]).max())
    return x, y, right - x, low - y
