"""The photographed page in reports: ink on it, strips of it, and its size for a page."""

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from verifier.findings import Box, Result

INK = {
    "fault": (176, 16, 24),
    "carried": (23, 89, 127),
    "doubtful": (122, 60, 140),
    "unread": (122, 60, 140),
    "undecided": (122, 60, 140),
}
"""The colour of each kind of ink, dark enough on white paper and told by its shape as well."""

_WIDE = 1400
_STRIP = 900


@dataclass(frozen=True)
class Photo:
    """One page as photographed, upright, at full size."""

    number: int
    image: Image.Image

    def jpeg(self, widest: int = _WIDE) -> bytes:
        """Return the page as a JPEG no wider than `widest` pixels."""
        return _jpeg(self.image, widest)

    def strip(self, box: Box) -> bytes:
        """Return the strip of the page in which a line stands, as a JPEG."""
        x, y, width, height = _inside(box, self.image)
        pad = max(height // 3, 4)
        low = (max(x - pad, 0), max(y - pad, 0))
        high = (min(x + width + pad, self.image.width), min(y + height + pad, self.image.height))
        return _jpeg(self.image.crop((*low, *high)), _STRIP)


def photos(path: Path) -> tuple[Photo, ...]:
    """Return the pages of a picture or PDF; raises `FileError` for what is none."""
    from verifier.reading.picture import pages

    return tuple(
        Photo(number, Image.fromarray(pixels)) for number, pixels in enumerate(pages(path), 1)
    )


def inked(photo: Photo, result: Result) -> Image.Image:
    """Return a page with the faults ringed, numbered notes beside them, the rest lightly marked."""
    image = photo.image.convert("RGB")
    draw: Any = ImageDraw.Draw(image)
    thick = max(image.width // 500, 2)
    for line in result.lines:
        if line.box is None or (line.page or 1) != photo.number:
            continue
        x, y, width, height = _inside(line.box, image)
        colour = INK.get(line.status)
        if line.status == "carried":
            for start in range(x, x + width, 8 * thick):
                end = min(start + 4 * thick, x + width)
                draw.line((start, y + height, end, y + height), colour, thick)
        elif line.status in ("doubtful", "unread", "undecided"):
            draw.rectangle((x, y, x + width, y + height), outline=colour, width=thick)
            draw.text((x + width + 2 * thick, y), "?", colour, _font(height))
    for number, fault in enumerate(result.faults, 1):
        line_of = next((line for line in result.lines if line.line == fault.line), None)
        box = fault.box or (line_of.box if line_of else None)
        if box is None or line_of is None or (line_of.page or 1) != photo.number:
            continue
        _ring(draw, _inside(box, image), str(number), thick)
    return image


def save_inked(path: Path, result: Result, to: Path) -> tuple[Path, ...]:
    """Write each page with ink on it as PNG: `NAME.png`, further pages `NAME-2.png` and so on.

    Raises `FileError` where `path` is no picture.
    """
    written = []
    for photo in photos(path):
        number = photo.number
        file = to if number == 1 else to.with_name(f"{to.stem}-{number}{to.suffix}")
        inked(photo, result).save(file, "PNG")
        written.append(file)
    return tuple(written)


def _ring(draw: Any, box: Box, label: str, thick: int) -> None:
    x, y, width, height = box
    pad = max(height // 3, 3 * thick)
    around = (x - pad, y - pad, x + width + pad, y + height + pad)
    draw.ellipse(around, outline=INK["fault"], width=2 * thick)
    draw.text((x + width + pad, y - pad), label, INK["fault"], _font(height))


def _font(height: int) -> Any:
    return ImageFont.load_default(max(min(height, 80), 14))


def _inside(box: Box, image: Image.Image) -> Box:
    x = min(max(box[0], 0), image.width - 1)
    y = min(max(box[1], 0), image.height - 1)
    return x, y, max(min(box[2], image.width - x), 1), max(min(box[3], image.height - y), 1)


def _jpeg(image: Image.Image, widest: int) -> bytes:
    if image.width > widest:
        tall = max(round(image.height * widest / image.width), 1)
        image = image.resize((widest, tall), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    image.convert("RGB").save(out, "JPEG", quality=80, optimize=True)
    return out.getvalue()
