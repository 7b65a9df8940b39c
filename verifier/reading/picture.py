"""A file → its pages as pixels, with every size checked before anything is decoded."""

import io
import shutil
import subprocess
import tempfile
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from verifier.errors import FileError

Pixels = NDArray[np.uint8]

SUFFIXES = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".heic", ".heif", ".pdf"})
MOST_BYTES = 80_000_000
MOST_PAGES = 30
MOST_PIXELS = 40_000_000  # decoded whole: PNG, TIFF, WebP, HEIC
MOST_JPEG_PIXELS = 250_000_000  # a JPEG can be decoded at a fraction of its size
WORKING_PIXELS = 16_000_000
_LEAST_SIDE = 40
_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
_PDF_SECONDS = 30
_PDF_SIDE = 3600


def pages(path: str | Path) -> Iterator[Pixels]:
    """Yield the pages of a picture or PDF as `(H, W, 3)` RGB, upright by their EXIF note.

    Raises `FileError` (one clear line) where the file is missing, too big, broken, animated or
    no picture. At most `MOST_PAGES` pages are decoded, one at a time.
    """
    file = Path(path)
    data = _bytes_of(file)
    if data[:1024].lstrip()[:5] == b"%PDF-":
        yield from _pdf_pages(file)
    else:
        yield from _picture_pages(file, data)


def is_picture(path: str | Path) -> bool:
    """Whether a file's name says that it is read as a picture."""
    return Path(path).suffix.lower() in SUFFIXES


def _bytes_of(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise FileError(str(file), "there is no such file")
        size = file.stat().st_size
        if size == 0:
            raise FileError(str(file), "the file is empty")
        if size > MOST_BYTES:
            limit = f"at most {MOST_BYTES // 10**6} MB are read"
            raise FileError(str(file), f"the file has {size / 1e6:.0f} MB", limit)
        return file.read_bytes()
    except OSError as error:
        raise FileError(str(file), error.strerror or "cannot be read") from error


def _picture_pages(file: Path, data: bytes) -> Iterator[Pixels]:
    picture = _open(file, data)
    frames = int(getattr(picture, "n_frames", 1))
    if picture.format == "MPO":
        frames = 1  # a phone's second frame is a depth map or a copy
    if frames > 1 and picture.format != "TIFF":
        raise FileError(str(file), "an animated picture is no page", "save one still frame")
    if frames > MOST_PAGES:
        raise FileError(str(file), f"holds {frames} pages", f"at most {MOST_PAGES} are read")
    for number in range(frames):
        yield _decode(file, picture, number)


def _open(file: Path, data: bytes) -> Image.Image:
    formats: tuple[str, ...] = _FORMATS
    if data[4:8] == b"ftyp" and data[8:11] in (b"hei", b"hev", b"mif", b"msf"):
        _bring_heic(file)
        formats = ("HEIF",)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # sizes are judged below, not by a warning
            return Image.open(io.BytesIO(data), formats=formats)
    except UnidentifiedImageError as error:
        remedy = "PNG, JPEG, TIFF, WebP, HEIC and PDF are"
        raise FileError(str(file), "is no picture that can be read", remedy) from error
    except Image.DecompressionBombError as error:
        raise FileError(str(file), "the picture is too large to be a page") from error
    except Exception as error:  # decoders raise many kinds on a malicious header
        raise FileError(str(file), f"the picture is broken ({_reason(error)})") from error


def _bring_heic(file: Path) -> None:
    try:
        import pillow_heif  # type: ignore[import-not-found, unused-ignore]
    except ImportError as error:
        remedy = "install counterpoise[heic], or save it as JPEG"
        raise FileError(str(file), "HEIC needs a further package", remedy) from error
    pillow_heif.register_heif_opener(thumbnails=False)


def _decode(file: Path, picture: Image.Image, number: int) -> Pixels:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            picture.seek(number)
            _check_size(file, picture)
            return _upright(picture)
    except FileError:
        raise
    except MemoryError as error:
        raise FileError(str(file), "the picture needs more memory than there is") from error
    except Exception as error:  # decoders raise many kinds on broken data
        raise FileError(str(file), f"the picture is broken ({_reason(error)})") from error


def _check_size(file: Path, picture: Image.Image) -> None:
    width, height = picture.size
    most = MOST_JPEG_PIXELS if picture.format in ("JPEG", "MPO") else MOST_PIXELS
    if width * height > most:
        shown = f"the picture is {width} × {height}"
        raise FileError(str(file), shown, f"at most {most // 10**6} megapixels are read")
    if min(width, height) < _LEAST_SIDE:
        raise FileError(str(file), f"the picture is {width} × {height}, too small for writing")


def _upright(picture: Image.Image) -> Pixels:
    width, height = picture.size
    shrink = (width * height / WORKING_PIXELS) ** 0.5
    if picture.format in ("JPEG", "MPO") and shrink > 1:
        picture.draft("RGB", (round(width / shrink), round(height / shrink)))
    still: Image.Image = picture
    if still.mode in ("I;16", "I;16B", "I;16L", "I", "F"):
        still = _eight_bit(still)
    if still.mode in ("RGBA", "LA", "PA") or "transparency" in still.info:
        still = still.convert("RGBA")
        ground = Image.new("RGBA", still.size, "white")
        still = Image.alpha_composite(ground, still)
    still = still if still.mode == "RGB" else still.convert("RGB")
    if still.width * still.height > WORKING_PIXELS * 1.3:
        factor = (WORKING_PIXELS / (still.width * still.height)) ** 0.5
        size = (max(1, round(still.width * factor)), max(1, round(still.height * factor)))
        still = still.resize(size, Image.Resampling.BOX)
    if picture.getexif().get(0x0112, 1) in range(2, 9):
        still = ImageOps.exif_transpose(_with_exif(still, picture))
    return np.asarray(still, dtype=np.uint8)


def _with_exif(still: Image.Image, source: Image.Image) -> Image.Image:
    turn = source.getexif().get(0x0112, 1)
    still = still.copy() if still is source else still
    still.getexif().clear()
    still.getexif()[0x0112] = turn if turn in range(1, 9) else 1
    return still


def _eight_bit(picture: Image.Image) -> Image.Image:
    values: Any = np.asarray(picture, dtype=np.float32)
    low, high = float(np.nanmin(values)), float(np.nanmax(values))
    scaled = (values - low) * (255 / max(high - low, 1e-6))
    return Image.fromarray(np.nan_to_num(scaled).astype(np.uint8))


def _reason(error: Exception) -> str:
    words = " ".join(str(error).split())[:80]
    return words or type(error).__name__


def _pdf_pages(file: Path) -> Iterator[Pixels]:
    program = shutil.which("pdftoppm")
    if program is None:
        remedy = "install poppler-utils, or save the pages as PNG"
        raise FileError(str(file), "PDF pages need poppler's pdftoppm", remedy)
    with tempfile.TemporaryDirectory() as folder:
        beyond = str(MOST_PAGES + 1)
        _draw_pdf(file, [program, "-f", beyond, "-l", beyond, "-scale-to", "8"], f"{folder}/more")
        if any(Path(folder).glob("more*")):
            remedy = f"at most {MOST_PAGES} are read"
            raise FileError(str(file), f"holds more than {MOST_PAGES} pages", remedy)
        options = ["-gray", "-l", str(MOST_PAGES), "-scale-to", str(_PDF_SIDE)]
        said = _draw_pdf(file, [program, *options], f"{folder}/page")
        found = sorted(Path(folder).glob("page*.pgm"))
        if not found:
            reason = said[-1][:80] if said else "no page in it can be drawn"
            raise FileError(str(file), f"the PDF cannot be read ({reason})")
        for page in found:
            with Image.open(page, formats=("PPM",)) as picture:
                yield np.asarray(picture.convert("RGB"), dtype=np.uint8)
            page.unlink()


def _draw_pdf(file: Path, command: list[str], to: str) -> list[str]:
    """Draw pages of a PDF into files whose names begin with `to`; return what the program said."""
    try:
        done = subprocess.run(
            [*command, str(file.resolve()), to], capture_output=True, timeout=_PDF_SECONDS,
            preexec_fn=_limit_child,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        reason = f"its pages took longer than {_PDF_SECONDS} s to draw"
        raise FileError(str(file), reason) from error
    return done.stderr.decode("utf-8", "replace").strip().splitlines()


def _limit_child() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (1_200_000_000, 1_200_000_000))
    resource.setrlimit(resource.RLIMIT_CPU, (_PDF_SECONDS, _PDF_SECONDS))
    resource.setrlimit(resource.RLIMIT_FSIZE, (60_000_000, 60_000_000))
