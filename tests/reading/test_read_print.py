"""A photographed printed page → its lines; what is not print, or no page; doubt as text."""

import re
from pathlib import Path

import cv2
import numpy as np
import pytest
from camera import Photo
from PIL import Image
from printed import LINES, Printed, Style, compose

from verifier.errors import FileError
from verifier.notation.tree import Names
from verifier.reading import as_text, read_picture
from verifier.reading.lines import Reading

NAMES = Names(joints=frozenset("PQRS"), members=frozenset({("P", "Q"), ("Q", "R"), ("P", "R")}))


def _plain(text: str) -> str:
    return re.sub(r"\s+", "", text.removeprefix("# ").replace("-", "−"))


def _saved(folder: Path, pixels: np.ndarray, name: str = "page.png") -> Path:
    file = folder / name
    cv2.imwrite(str(file), pixels)
    return file


@pytest.fixture(scope="module")
def reading(photographed: Photo, tmp_path_factory: pytest.TempPathFactory) -> Reading:
    file = tmp_path_factory.mktemp("photo") / "hoist.jpg"
    file.write_bytes(photographed.jpeg())
    return read_picture(file, NAMES)


def test_a_photographed_page_is_read(reading: Reading) -> None:
    wrong = [
        (line.text, true)
        for line, true in zip(reading.lines, LINES, strict=True)
        if _plain(line.text) != _plain(true)
    ]
    assert not wrong


def test_lines_know_page_place_and_reader(reading: Reading, photographed: Photo) -> None:
    height, width = photographed.pixels.shape[:2]
    for line in reading.lines:
        assert line.page == 1
        assert line.reader == "print"
        assert 0.4 < line.confidence <= 1
        assert len(line.char_boxes) == len(line.text)
        assert line.box is not None
        x, y, w, h = line.box
        assert 0 <= x < x + w <= width
        assert 0 <= y < y + h <= height
        seen = [box for box in line.char_boxes if box is not None]
        assert all(x - 9 <= box[0] and box[0] + box[2] <= x + w + 9 for box in seen)


@pytest.mark.parametrize("quarter", [1, 2, 3])
def test_any_way_up(photographed: Photo, reading: Reading, tmp_path: Path, quarter: int) -> None:
    turned = np.ascontiguousarray(np.rot90(photographed.pixels, quarter))
    again = read_picture(_saved(tmp_path, turned), NAMES)
    same = sum(
        _plain(one.text) == _plain(other.text)
        for one, other in zip(again.lines, reading.lines, strict=False)
    )
    assert len(again.lines) == len(reading.lines)
    assert same >= len(reading.lines) - 2


def test_typeset_scripts_come_back_as_scripts(tmp_path: Path) -> None:
    lines = ["F_{AB} cos 30° − 0.75 F_{AC} = 0", "M_A = 3.5 × 6²/2 = 63 kN", "V_A + V_B = 28"]
    style = Style(font="LiberationSerif-Regular.ttf", typeset=True, points=13, size=(1600, 700))
    found = read_picture(_saved(tmp_path, compose(lines, style).pixels))
    assert [_plain(line.text) for line in found.lines] == [_plain(line) for line in lines]


def test_a_line_that_goes_on_keeps_its_indent(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1400, 600), dpi=200)
    lines = ["AB × 3 = 4 × 5", "    − 6 × 2", "− 7 = AC", "    so AC = 8 kN"]
    found = read_picture(_saved(tmp_path, compose(lines, style).pixels), kind="print")
    assert [len(line.text) - len(line.text.lstrip()) for line in found.lines] == [0, 4, 0, 0]
    assert [_plain(line.text) for line in found.lines] == [_plain(line) for line in lines]
    assert all(len(line.char_boxes) == len(line.text) for line in found.lines)


def test_dots_in_a_row_are_no_sign(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1400, 600), dpi=200)
    lines = ["∴ AB = 3 kN ... (1)", "∵ AC = 4 kN ... (2)"]
    found = read_picture(_saved(tmp_path, compose(lines, style).pixels), kind="print")
    assert [_plain(line.text) for line in found.lines] == [_plain(line) for line in lines]


def test_light_on_a_dark_screen_is_read(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1400, 600), dpi=220)
    pixels = 255 - compose(["AB = 12.5 kN (T)", "ΣF_y = 0: AB − 7 = 0"], style).pixels
    found = read_picture(_saved(tmp_path, pixels))
    assert [_plain(line.text) for line in found.lines] == ["AB=12.5kN(T)", "ΣF_y=0:AB−7=0"]


def test_a_struck_line_is_marked(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1400, 600), dpi=220)
    printed = compose(["AB = 12.5 kN (T)", "AB = 15.2 kN (T)"], style)
    pixels = printed.pixels.copy()
    x, y, w, h = printed.boxes[0]
    cv2.line(pixels, (x - 5, y + h // 2 + 6), (x + w + 5, y + h // 2 + 2), 20, 4)
    struck, plain = read_picture(_saved(tmp_path, pixels), kind="print").lines
    assert struck.text.startswith("~~")
    assert struck.text.endswith("~~")
    assert _plain(plain.text) == "AB=15.2kN(T)"


def test_a_blank_page_reads_as_nothing_and_says_so(tmp_path: Path) -> None:
    found = read_picture(_saved(tmp_path, np.full((900, 700), 245, np.uint8)))
    assert found.lines == ()
    assert "no lines" in found.notes[0]


def test_pages_of_a_tiff_are_counted(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1200, 500), dpi=200)
    frames = [Image.fromarray(compose([f"AB = {n}.5 kN"], style).pixels) for n in (3, 4)]
    file = tmp_path / "two.tif"
    frames[0].save(file, save_all=True, append_images=frames[1:])
    found = read_picture(file)
    assert [(line.page, _plain(line.text)) for line in found.lines] == [
        (1, "AB=3.5kN"),
        (2, "AB=4.5kN"),
    ]


def test_a_pdf_page_is_read(tmp_path: Path) -> None:
    style = Style(font="DejaVuSans.ttf", size=(1200, 500), dpi=200)
    file = tmp_path / "page.pdf"
    Image.fromarray(compose(["AB = 3.5 kN (T)"], style).pixels).save(file, resolution=200)
    try:
        found = read_picture(file)
    except FileError as error:
        assert "pdftoppm" in str(error)  # noqa: PT017  (poppler is not a core need)
        return
    assert [_plain(line.text) for line in found.lines] == ["AB=3.5kN(T)"]


def test_another_script_and_a_cat_end_in_bounded_readings(
    tmp_path: Path, rng: np.random.Generator
) -> None:
    furry = cv2.GaussianBlur(rng.integers(0, 255, (700, 900)).astype(np.uint8), (0, 0), 3)
    furry = cv2.normalize(furry, None, 40, 230, cv2.NORM_MINMAX)
    cv2.circle(furry, (450, 350), 200, 30, 12)
    found = read_picture(_saved(tmp_path, furry), kind="print")
    assert len(found.lines) <= 300
    style = Style(font="DejaVuSans.ttf", size=(1200, 500), dpi=200)
    script = compose(["Узел Б усилие равно нулю", "Տանիք և սյուն"], style)
    other = read_picture(_saved(tmp_path, script.pixels), kind="print")
    assert all(line.confidence < 0.9 for line in other.lines)


def test_the_text_of_a_reading_has_one_line_for_each(reading: Reading) -> None:
    text = as_text(reading)
    assert len(text.splitlines()) == len(reading.lines)
    for said, line in zip(text.splitlines(), reading.lines, strict=True):
        first = re.sub(r"⟦([^|⟧]*)\|[^⟧]*⟧", r"\1", said)
        assert first == line.text


def test_the_reader_never_mends_what_is_wrong(tmp_path: Path) -> None:
    lines = ["AB = 6/2 = 4.7 kN (T)", "ΣF_y = 0: AB cos 30° + 6 = 9", "2 + 2 = 5"]
    style = Style(font="DejaVuSans.ttf", size=(1400, 700), dpi=220)
    found = read_picture(_saved(tmp_path, compose(lines, style).pixels), NAMES)
    assert [_plain(line.text) for line in found.lines] == [_plain(line) for line in lines]


def test_a_printed_page_type(printed_page: Printed) -> None:
    assert len(printed_page.lines) == len(LINES)
