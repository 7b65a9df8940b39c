"""Compose pages as a printer gives them: title, headings, lines of working, real scripts."""

import functools
import glob
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

Array = np.ndarray
Box = tuple[int, int, int, int]
_FALLBACK = "DejaVuSans.ttf"
_ROOTS = ("/usr/share/fonts", "/usr/local/share/fonts")

SIZE = (1800, 2400)
LINES = [
    "# Slip hoist bracket, sheet 2",
    "Joint Q",
    "ΣF_y = 0:  PQ sin 22.62° − 6 = 0",
    "PQ = 6/sin 22.62° = 15.6 kN (T)",
    "ΣF_x = 0 →+:  −QR − PQ cos 22.62° + 2.5 = 0",
    "∴ QR = 2.5 − 15.6·0.923 = −11.9 kN (C)",
    "Whole structure",
    "↺+ ΣM_P = 0:  S_x(1.0) − 6 × 2.4 + 2.5(1.0) = 0",
    "S_x = (14.4 − 2.5)/1.0 = 11.9 kN →",
    "θ = tan⁻¹(1.0/2.4) = 22.62°",
]


@dataclass(frozen=True)
class Style:
    """How a page is printed: `dpi` of the sheet, `points` of the text, `leading` in lines.

    `typeset` sets `A_y` and `F_{AB}` with true subscripts; otherwise they stay as typed.
    """

    font: str = "DejaVuSans.ttf"
    bold: str = ""
    points: float = 11.5
    leading: float = 1.55
    dpi: int = 300
    margin: float = 0.11
    typeset: bool = False
    ink: int = 20
    paper: int = 250
    size: tuple[int, int] = (2480, 3508)


@dataclass(frozen=True)
class Printed:
    """A flat page `(H, W)` uint8 with what is written on it and where."""

    pixels: Array
    lines: tuple[str, ...]
    boxes: tuple[Box, ...]


@functools.cache
def font_path(name: str) -> str:
    """Return the path of a font file by its name; `FileNotFoundError` where it is not there."""
    if Path(name).is_file():
        return name
    for root in _ROOTS:
        found = glob.glob(f"{root}/**/{name}", recursive=True)
        if found:
            return found[0]
    raise FileNotFoundError(name)


@functools.cache
def font(name: str, size: int) -> ImageFont.FreeTypeFont:
    """Return a font at a size in pixels."""
    return ImageFont.truetype(font_path(name), size)


@functools.cache
def lacks(name: str, char: str) -> bool:
    """Whether a font has no glyph for a character (it draws its 'missing' box)."""
    probe = font(name, 40)
    missing = probe.getmask("\U0010fffd")
    glyph = probe.getmask(char)
    return glyph.size == missing.size and bytes(glyph) == bytes(missing)


def compose(lines: list[str], style: Style | None = None) -> Printed:
    """Print lines on one page; `# text` is a title, a line that ends in ':' alone stays a line."""
    style = style or Style()
    width, height = style.size
    picture = Image.new("L", style.size, style.paper)
    draw = ImageDraw.Draw(picture)
    size = round(style.points * style.dpi / 72)
    x0, y = round(style.margin * width), round(style.margin * height * 0.9)
    kept, boxes = [], []
    for line in lines:
        title = line.startswith("# ")
        text = line[2:] if title else line
        scale = round(size * 1.3) if title else size
        if text.strip():
            name = (style.bold or style.font) if title else style.font
            right = _draw_line(draw, (x0, y), text, name, scale, style)
            kept.append(text)
            boxes.append((x0, y - scale, round(right - x0), round(scale * 1.35)))
        y += round(scale * style.leading)
        if y > height - 60:
            raise ValueError("more lines than the page holds")
    return Printed(np.asarray(picture), tuple(kept), tuple(boxes))


def _draw_line(
    draw: ImageDraw.ImageDraw, at: tuple[int, int], text: str, name: str, size: int, style: Style
) -> float:
    x, baseline = at
    pos = float(x)
    for part, drop, shrink in _pieces(text, style.typeset):
        part_size = max(8, round(size * shrink))
        for char in part:
            face = font(_FALLBACK if lacks(name, char) else name, part_size)
            draw.text((pos, baseline + drop * size), char, style.ink, face, anchor="ls")
            pos += face.getlength(char)
    return pos


def _pieces(text: str, typeset: bool) -> list[tuple[str, float, float]]:
    """Split a line into (text, drop, size); drop and size are parts of the type size."""
    if not typeset:
        return [(text, 0.0, 1.0)]
    pieces = []
    for plain, brace, single in re.findall(r"([^_]+)|_\{([^}]*)\}|_(\w+)", text):
        pieces.append((plain, 0.0, 1.0) if plain else (brace or single, 0.16, 0.68))
    return pieces
