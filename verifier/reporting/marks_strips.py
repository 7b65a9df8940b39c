"""A doubtful line's picture: saved beside the results, and shown where the terminal can."""

import base64
import os
from collections.abc import Mapping
from pathlib import Path

from verifier.errors import CounterpoiseError
from verifier.marking.confirming import Place
from verifier.reporting.marks_files import file_name

_CHUNK = 4096


class Strips:
    """Cuts lines out of pages; keeps the last script's pages, so that each is opened once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._open: tuple[Path, dict[int, object]] | None = None

    def strip(self, place: Place) -> bytes | None:
        """Return a line's picture as JPEG, None where there is none to be had."""
        if place.picture is None or place.box is None:
            return None
        from verifier.reporting.photo import Photo, photos

        if self._open is None or self._open[0] != place.picture:
            try:
                pages = {photo.number: photo for photo in photos(place.picture)}
            except (CounterpoiseError, OSError):
                return None
            self._open = (place.picture, dict(pages))
        photo = self._open[1].get(place.page)
        return photo.strip(place.box) if isinstance(photo, Photo) else None

    def save(self, place: Place, strip: bytes) -> Path:
        """Save a line's picture and return where."""
        self.folder.mkdir(parents=True, exist_ok=True)
        path = self.folder / file_name(f"{place.shown} line {place.line.line}", ".jpg")
        path.write_bytes(strip)
        return path


def shows_pictures(environment: Mapping[str, str] = os.environ) -> str:
    """Return by which protocol the terminal shows pictures: 'kitty', 'inline' or ''."""
    if environment.get("KITTY_WINDOW_ID") or "kitty" in environment.get("TERM", ""):
        return "kitty"
    inline = ("iTerm.app", "WezTerm", "vscode")
    return "inline" if environment.get("TERM_PROGRAM", "") in inline else ""


def escape_for(protocol: str, jpeg: bytes) -> str:
    """Return the escape sequence that shows a picture by a terminal's protocol."""
    if protocol == "inline":
        data = base64.b64encode(jpeg).decode("ascii")
        return f"\x1b]1337;File=inline=1;width=80%;size={len(jpeg)}:{data}\x07\n"
    data = base64.b64encode(_png(jpeg)).decode("ascii")
    chunks = [data[start : start + _CHUNK] for start in range(0, len(data), _CHUNK)]
    parts = []
    for number, chunk in enumerate(chunks):
        head = "a=T,f=100," if number == 0 else ""
        more = int(number < len(chunks) - 1)
        parts.append(f"\x1b_G{head}m={more};{chunk}\x1b\\")
    return "".join(parts) + "\n"


def _png(jpeg: bytes) -> bytes:
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.open(io.BytesIO(jpeg)).save(out, "PNG")
    return out.getvalue()
