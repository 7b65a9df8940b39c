"""The photographed page in reports: ink on it, strips of it, and its size for a page."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from verifier.findings import Box, Result
from verifier.reporting.layout import wrap

INK = {
    "fault": (176, 16, 24),
    "carried": (23, 89, 127),
    "doubtful": (122, 60, 140),
    "unread": (122, 60, 140),
    "undecided": (122, 60, 140),
    "note": (20, 24, 28),
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
    here = [one for one in result.lines if one.box and (one.page or 1) == photo.number]
    margin = min((one.box[0] for one in here if one.box), default=0) - 4 * thick
    for line in here:
        assert line.box is not None
        x, y, width, height = _inside(line.box, image)
        colour = INK.get(line.status)
        if line.status == "carried":
            _bar(draw, margin, (y, y + height), colour, thick, dashed=True)
        elif colour is not None and line.status != "fault":
            _bar(draw, x - 4 * thick, (y, y + height), colour, thick)
            _bar(draw, x + width + 3 * thick, (y, y + height), colour, thick)
            draw.text((x + width + 6 * thick, y), "?", colour, _font(height))
    for number, fault in enumerate(result.faults, 1):
        line_of = next((line for line in result.lines if line.line == fault.line), None)
        box = fault.box or (line_of.box if line_of else None)
        if box is None or line_of is None or (line_of.page or 1) != photo.number:
            continue
        _ring(draw, _inside(box, image), thick)
        beside = _inside(line_of.box or box, image)
        _disc(draw, (margin, beside[1] + beside[3] // 2), beside[3], str(number))
    return image


def save_inked(path: Path, result: Result, to: Path, notes: Sequence[str] = ()) -> tuple[Path, ...]:
    """Write each page with ink on it as PNG: `NAME.png`, further pages `NAME-2.png` and so on.

    `notes` are written below the first page. Raises `FileError` where `path` is no picture.
    """
    written = []
    for photo in photos(path):
        number = photo.number
        file = to if number == 1 else to.with_name(f"{to.stem}-{number}{to.suffix}")
        image = inked(photo, result)
        (image if number > 1 else with_notes(image, notes)).save(file, "PNG")
        written.append(file)
    return tuple(written)


def _bar(
    draw: Any, x: int, span: tuple[int, int], colour: Any, thick: int, *, dashed: bool = False
) -> None:
    low, high = span
    step = 4 * thick if dashed else high - low + 1
    for start in range(low, high, 2 * step):
        draw.rectangle((x, start, x + thick, min(start + step, high)), fill=colour)


def _disc(draw: Any, at: tuple[int, int], height: int, label: str) -> None:
    """Draw a fault's number in a disc in the margin, clear of what is written."""
    half = max(min(height, 60) // 2, 12)
    x, y = max(at[0] - half - 4, half), at[1]
    draw.ellipse((x - half, y - half, x + half, y + half), fill=INK["fault"])
    draw.text((x, y), label, "white", _font(half * 4 // 3), anchor="mm")


def _ring(draw: Any, box: Box, thick: int) -> None:
    x, y, width, height = box
    pad = max(height // 5, 3 * thick)
    around = (x - pad, y - pad, x + width + pad, y + height + pad)
    draw.rounded_rectangle(around, height // 2 + pad, outline=INK["fault"], width=2 * thick)


def written_part(photo: Photo, result: Result) -> Photo:
    """Return the part of a page that is written on, with a margin; else the whole."""
    image = photo.image
    boxes = [
        _inside(line.box, image)
        for line in result.lines
        if line.box is not None and (line.page or 1) == photo.number
    ]
    if not boxes:
        return photo
    margin = image.width // 16
    left = max(min(box[0] for box in boxes) - margin, 0)
    top = max(min(box[1] for box in boxes) - margin, 0)
    right = min(max(box[0] + box[2] for box in boxes) + 2 * margin, image.width)
    bottom = min(max(box[1] + box[3] for box in boxes) + margin, image.height)
    return Photo(photo.number, image.crop((left, top, right, bottom)))


def with_notes(image: Image.Image, notes: Sequence[str]) -> Image.Image:
    """Return a picture with notes on a white band below it."""
    if not notes:
        return image
    size = max(image.width // 60, 12)
    rows = [row for note in notes for row in (*wrap(note, 92, 92), "")]
    band = Image.new("RGB", (image.width, image.height + (len(rows) + 1) * size * 4 // 3), "white")
    band.paste(image, (0, 0))
    draw: Any = ImageDraw.Draw(band)
    for number, row in enumerate(rows):
        place = (size, image.height + size * 2 // 3 + number * size * 4 // 3)
        draw.text(place, row, INK["note"], _font(size))
    return band


def _font(height: int) -> Any:
    size = max(min(height, 80), 12)
    try:
        return ImageFont.truetype("DejaVuSans.ttf", size)  # it has the signs of statics
    except OSError:
        return ImageFont.load_default(size)


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
