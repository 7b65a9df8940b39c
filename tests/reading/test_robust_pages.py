"""Pages that are unlike the usual one: each is read rightly, or ends in one clear line."""

import io
import struct
import zlib
from pathlib import Path
from types import SimpleNamespace

import cv2
import numpy as np
import pytest
from PIL import Image
from printed import Style, compose
from skimage import data

from verifier import check
from verifier.errors import FileError
from verifier.reading import picture, read, read_picture
from verifier.reading.lines import Reading

LEFT = ["ΣM_A = 0: V_B × 6 − 12 × 2 = 0", "V_B = 4 kN", "Joint B", "F_{AB} = 7.5 kN (T)"]
RIGHT = ["ΣF_y = 0: V_A + 4 − 12 = 0", "V_A = 8 kN ↑", "∴ H_A = 0", "Check: 8 + 4 − 12 = 0"]
SHEET = "joint P 0 0\njoint Q 2 0\nmember P-Q\npin P\nroller Q\nload Q 3 right\nfind P-Q\n"


def _page(lines: list[str], size: tuple[int, int] = (1300, 1000)) -> np.ndarray:
    style = Style(font="DejaVuSerif.ttf", points=12, size=size, dpi=170)
    return compose(lines, style).pixels


def _saved(folder: Path, pixels: np.ndarray, name: str = "page.png") -> Path:
    file = folder / name
    cv2.imwrite(str(file), pixels)
    return file


def _said(found: Reading) -> list[str]:
    return [line.text.replace(" ", "") for line in found.lines]


def _typed(lines: list[str]) -> list[str]:
    return [line.replace(" ", "") for line in lines]


def _pdf(pages: int, image: bytes, head: bytes, side: int = 600) -> bytes:
    """Write a PDF whose pages all show one image."""
    kids = b" ".join(b"%d 0 R" % (number + 5) for number in range(pages))
    shown = b"q %d 0 0 %d 0 0 cm /I Do Q" % (side, side)
    page = (
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 %d %d]/Contents 3 0 R"
        b"/Resources<</XObject<</I 4 0 R>>>>>>" % (side, side)
    )
    parts = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Count %d/Kids[%s]>>" % (pages, kids),
        b"<</Length %d>>stream\n%s\nendstream" % (len(shown), shown),
        b"<</Type/XObject/Subtype/Image/ColorSpace/DeviceGray/BitsPerComponent 8%s"
        b"/Filter/FlateDecode/Length %d>>stream\n%s\nendstream" % (head, len(image), image),
        *[page] * pages,
    ]
    out, starts = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        starts.append(len(out))
        out += b"%d 0 obj%s endobj\n" % (number, part)
    table = b"".join(b"%010d 00000 n \n" % start for start in starts)
    return (
        out + b"xref\n0 %d\n0000000000 65535 f \n%s" % (len(parts) + 1, table)
        + b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF" % (len(parts) + 1, len(out))
    )  # fmt: skip


def test_two_sheets_on_a_table_are_read_one_after_the_other(tmp_path: Path) -> None:
    table = np.full((1200, 2900), 60, np.uint8)
    table[100:1100, 100:1400], table[100:1100, 1500:2800] = _page(LEFT), _page(RIGHT)
    assert _said(read_picture(_saved(tmp_path, table))) == _typed([*LEFT, *RIGHT])


def test_an_open_book_is_read_one_page_after_the_other(tmp_path: Path) -> None:
    book = np.full((1200, 2800), 60, np.uint8)
    book[100:1100, 100:1400], book[100:1100, 1400:2700] = _page(LEFT), _page(RIGHT)
    assert _said(read_picture(_saved(tmp_path, book))) == _typed([*LEFT, *RIGHT])


def test_a_scan_of_several_pages_keeps_their_order(tmp_path: Path) -> None:
    file = tmp_path / "scan.pdf"
    sheets = [Image.fromarray(_page(lines)) for lines in (LEFT, RIGHT, LEFT[:2])]
    sheets[0].save(file, save_all=True, append_images=sheets[1:], resolution=170)
    found = read_picture(file)
    assert _said(found) == _typed([*LEFT, *RIGHT, *LEFT[:2]])
    assert [line.page for line in found.lines] == [1] * 4 + [2] * 4 + [3] * 2


def test_a_phone_s_own_format_is_read(tmp_path: Path) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener(thumbnails=False)
    file = tmp_path / "phone.heic"
    Image.fromarray(_page(LEFT)).convert("RGB").save(file, quality=80)
    assert _said(read_picture(file)) == _typed(LEFT)


def test_a_hundred_megapixels_are_read_rightly(tmp_path: Path) -> None:
    large = cv2.resize(_page(LEFT), (11_500, 8_846), interpolation=cv2.INTER_LINEAR)
    file = _saved(tmp_path, large, "large.jpg")
    assert _said(read_picture(file)) == _typed(LEFT)


def test_a_long_strip_is_read_or_left(tmp_path: Path) -> None:
    strip = np.full((10_000, 60), 250, np.uint8)
    strip[5000:5003, 10:50] = 20
    assert read_picture(_saved(tmp_path, strip)).lines == ()


@pytest.mark.parametrize("name", ["chelsea", "coffee", "astronaut"])
def test_a_picture_of_something_else_is_told_in_one_line(tmp_path: Path, name: str) -> None:
    pixels = cv2.cvtColor(getattr(data, name)(), cv2.COLOR_RGB2BGR)
    found = read_picture(_saved(tmp_path, pixels))
    assert found.lines == ()
    assert found.notes == ("page 1: no lines of writing were found on it",)


def test_nothing_that_is_no_working_is_judged_faulty(tmp_path: Path) -> None:
    pixels = cv2.cvtColor(data.chelsea(), cv2.COLOR_RGB2BGR)
    foreign = _page(["Узел Б: усилие равно нулю", "Տանիք և սյուն", "Οι δυνάμεις είναι ίσες"])
    for number, shown in enumerate((pixels, foreign, np.full((600, 800), 245, np.uint8))):
        result = check(SHEET, _saved(tmp_path, shown, f"{number}.png"))
        assert result.verdict in ("undecided", "unfinished")
        assert result.first_fault is None


def test_a_pdf_that_swells_ends(tmp_path: Path) -> None:
    pack = zlib.compressobj(9)
    zeros = b"".join(pack.compress(bytes(10**7)) for _ in range(9)) + pack.flush()
    file = tmp_path / "swells.pdf"
    file.write_bytes(_pdf(1, zeros, b"/Width 9480/Height 9480"))
    assert read_picture(file).lines == ()


def test_a_pdf_page_as_large_as_a_field_ends(tmp_path: Path) -> None:
    file = tmp_path / "field.pdf"
    file.write_bytes(_pdf(1, zlib.compress(bytes(100)), b"/Width 10/Height 10", 14_400_000))
    assert read_picture(file).lines == ()


def test_a_pdf_of_too_many_pages_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "many.pdf"
    file.write_bytes(_pdf(5000, zlib.compress(b"\xff" * 100), b"/Width 10/Height 10"))
    with pytest.raises(FileError, match=f"more than {picture.MOST_PAGES} pages"):
        read_picture(file)


def test_a_note_that_swells_inside_a_picture_ends(tmp_path: Path) -> None:
    out = io.BytesIO()
    Image.new("L", (80, 80), 255).save(out, "PNG")
    png = out.getvalue()
    body = b"zTXtnote\0\0" + zlib.compress(bytes(10**8), 9)
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    file = tmp_path / "note.png"
    file.write_bytes(png[:33] + chunk + png[33:])
    try:
        assert read_picture(file).lines == ()
    except FileError as error:
        assert "\n" not in str(error)  # noqa: PT017  (older Pillows pass over such a note)


def test_specks_beside_the_writing_do_not_make_it_a_picture_of_something_else() -> None:
    def row(wide: int, left: int) -> SimpleNamespace:
        return SimpleNamespace(
            pixels=np.zeros((30, wide), np.uint8), origin=(left, 0), letter=20.0, box=(0, 0, 1, 1)
        )

    specks = [row(25 + n, 300 + 47 * (n * n % 13)) for n in range(24)]
    written = [row(200 + 10 * n, 100 + n) for n in range(9)]
    page = SimpleNamespace(lines=[*written, *specks])
    assert not read._is_no_page(page)  # type: ignore[arg-type]
    assert read._is_no_page(SimpleNamespace(lines=specks))  # type: ignore[arg-type]
