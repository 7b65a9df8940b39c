"""Files that are no page, or a trap: each ends in one clear line, in bounded time and memory."""

import io
import resource
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from verifier.errors import FileError
from verifier.reading import picture


def _png_header(width: int, height: int) -> bytes:
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + head
    data = b"IDAT" + zlib.compress(b"\0" * 100)
    return (
        b"\x89PNG\r\n\x1a\n"
        + struct.pack(">I", len(head)) + chunk + struct.pack(">I", zlib.crc32(chunk))
        + struct.pack(">I", len(data) - 4) + data + struct.pack(">I", zlib.crc32(data))
    )  # fmt: skip


def _saved(picture_: Image.Image, form: str, **options: object) -> bytes:
    out = io.BytesIO()
    picture_.save(out, form, **options)
    return out.getvalue()


def _grey(width: int = 400, height: int = 300) -> Image.Image:
    ramp = np.tile(np.linspace(120, 250, width).astype(np.uint8), (height, 1))
    return Image.fromarray(ramp)


def _animated(form: str) -> bytes:
    frames = [Image.new("RGB", (200, 200), (c, c, c)) for c in (20, 120, 220)]
    return _saved(frames[0], form, save_all=True, append_images=frames[1:], duration=50)


def _refused(folder: Path, name: str, data: bytes) -> str:
    file = folder / name
    file.write_bytes(data)
    with pytest.raises(FileError) as caught:
        list(picture.pages(file))
    said = str(caught.value)
    assert "\n" not in said
    assert name in said
    return said


@pytest.mark.parametrize(
    ("name", "data", "word"),
    [
        ("empty.jpg", b"", "empty"),
        ("words.png", "ΣM_A = 0\n".encode() * 50, "no picture"),
        ("huge.png", _png_header(60_000, 60_000), "large"),
        ("wide.png", _png_header(12_000, 12_000), "megapixels"),
        ("strip.png", _saved(Image.new("L", (10_000, 1), 255), "PNG"), "too small"),
        ("bad_data.png", _png_header(400, 400), "broken"),
        ("animated.gif", _animated("GIF"), "no picture"),
        ("animated.png", _animated("PNG"), "animated"),
        ("animated.webp", _animated("WEBP"), "animated"),
        ("cut.jpg", _saved(_grey(), "JPEG")[:2000], "broken"),
        ("cut.tif", _saved(_grey(), "TIFF")[:3000], "broken"),
        ("heading.heic", b"\0\0\0\x18ftypheic" + b"\0" * 200, ""),
        ("no.pdf", b"%PDF-1.7\nnothing here", "PDF"),
    ],
)
def test_each_trap_ends_in_one_clear_line(
    tmp_path: Path, name: str, data: bytes, word: str
) -> None:
    assert word in _refused(tmp_path, name, data)


def test_a_missing_file_and_a_folder_are_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="no such file"):
        list(picture.pages(tmp_path / "none.jpg"))
    with pytest.raises(FileError, match="no such file"):
        list(picture.pages(tmp_path))


def test_a_file_of_too_many_bytes_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(picture, "MOST_BYTES", 100)
    assert "MB" in _refused(tmp_path, "big.png", _saved(_grey(), "PNG"))


def test_too_many_tiff_pages_are_refused_and_a_few_are_read(tmp_path: Path) -> None:
    frames = [_grey(80, 60)] * 40
    data = _saved(frames[0], "TIFF", save_all=True, append_images=frames[1:])
    assert "40 pages" in _refused(tmp_path, "many.tif", data)
    few = tmp_path / "few.tif"
    few.write_bytes(_saved(frames[0], "TIFF", save_all=True, append_images=frames[1:3]))
    assert [page.shape for page in picture.pages(few)] == [(60, 80, 3)] * 3


def test_a_hundred_megapixels_of_jpeg_are_read_small(tmp_path: Path) -> None:
    file = tmp_path / "large.jpg"
    file.write_bytes(_saved(Image.new("L", (11_600, 8_700), 200), "JPEG", quality=40))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    (page,) = picture.pages(file)
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert page.shape[0] * page.shape[1] <= picture.WORKING_PIXELS * 1.3
    assert grown < 400_000  # kB


@pytest.mark.parametrize("turn", range(1, 9))
def test_exif_turns_the_page_upright(tmp_path: Path, turn: int) -> None:
    upright = np.full((300, 200), 250, np.uint8)
    upright[:60, :50] = 0  # a mark at the top left
    stored = {
        1: upright, 2: upright[:, ::-1], 3: upright[::-1, ::-1], 4: upright[::-1],
        5: upright.T, 6: np.rot90(upright, 1), 7: upright[::-1, ::-1].T, 8: np.rot90(upright, 3),
    }[turn]  # fmt: skip
    exif = Image.Exif()
    exif[0x0112] = turn
    file = tmp_path / "turned.jpg"
    shown = Image.fromarray(np.ascontiguousarray(stored))
    file.write_bytes(_saved(shown, "JPEG", exif=exif.tobytes(), quality=95))
    (page,) = picture.pages(file)
    assert page.shape == (300, 200, 3)
    assert page[10, 10, 0] < 60
    assert page[-10, -10, 0] > 200


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16"])
def test_every_kind_of_pixel_becomes_red_green_blue(tmp_path: Path, mode: str) -> None:
    form = "TIFF" if mode == "CMYK" else "PNG"
    if mode == "I;16":
        values = np.linspace(0, 60_000, 100 * 80).reshape(80, 100).astype(np.uint16)
        shown = Image.fromarray(values)
    else:
        shown = _grey(100, 80).convert("RGB").convert(mode)
    file = tmp_path / "page"
    file.write_bytes(_saved(shown, form))
    (page,) = picture.pages(file)
    assert page.shape == (80, 100, 3)
    assert page.dtype == np.uint8


def test_transparency_is_paper(tmp_path: Path) -> None:
    file = tmp_path / "clear.png"
    file.write_bytes(_saved(Image.new("RGBA", (80, 80), (0, 0, 0, 0)), "PNG"))
    (page,) = picture.pages(file)
    assert page.min() == 255
