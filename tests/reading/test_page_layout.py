"""Finding, flattening and cutting a page: places are known, because the camera knows them."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from camera import TABLES, Photo, Shot, draw_shot, photograph
from printed import LINES, SIZE, Printed, Style, compose

from verifier.reading import cut, flatten, ink, page


def _corners(printed: Printed) -> np.ndarray:
    height, width = printed.pixels.shape
    return np.array([[0, 0], [width, 0], [width, height], [0, height]], float)


@pytest.mark.parametrize("table", TABLES)
def test_the_page_is_found_on_any_table(printed_page: Printed, table: str) -> None:
    shot = Shot(seed=11, table=table, tilt=0.07, turn=-3.0, size=(900, 1200), curl=0.004)
    photo = photograph(printed_page.pixels, shot)
    flat = flatten.find_page(photo.pixels[..., ::-1].copy())
    width, height = flat.size
    found = flat.to_photo(np.array([[0, 0], [width, 0], [width, height], [0, height]], float))
    assert np.abs(found - photo.place(_corners(printed_page))).max() < 22


def test_a_scan_without_edges_is_taken_whole(printed_page: Printed) -> None:
    scan = cv2.cvtColor(printed_page.pixels, cv2.COLOR_GRAY2RGB)
    assert flatten.find_page(scan).size == scan.shape[1::-1]


def test_lines_are_cut_in_order_and_know_their_place(photographed: Photo) -> None:
    sheet = page.lay_out(photographed.pixels[..., ::-1].copy())
    assert len(sheet.lines) == len(LINES)
    for line in sheet.lines:
        assert line.pixels.dtype == np.uint8
        assert line.pixels.min() < 90
        assert line.pixels[0].mean() > 200
    tops = [line.box[1] for line in sheet.lines]
    assert tops == sorted(tops)


def test_boxes_lie_where_the_lines_were_printed(photographed: Photo, printed_page: Printed) -> None:
    sheet = page.lay_out(photographed.pixels[..., ::-1].copy())
    for line, (x, y, w, h) in zip(sheet.lines, printed_page.boxes, strict=True):
        true = photographed.place(np.array([[x, y], [x + w, y + h]], float))
        got = np.array([line.box[0], line.box[0] + line.box[2]])
        assert np.abs(got - true[:, 0]).max() < 0.03 * SIZE[0]
        middle = line.box[1] + line.box[3] / 2
        assert true[0, 1] - 30 < middle < true[1, 1] + 30


@pytest.mark.parametrize("quarter", [1, 3])
def test_a_page_on_its_side_is_turned(photographed: Photo, quarter: int) -> None:
    turned = np.ascontiguousarray(np.rot90(photographed.pixels, quarter)[..., ::-1])
    sheet = page.lay_out(turned)
    assert len(sheet.lines) == len(LINES)
    assert sheet.grey.shape[0] > sheet.grey.shape[1]


def _ruled(printed: Printed, squares: bool) -> np.ndarray:
    paper = np.full((*printed.pixels.shape, 3), 250, np.uint8)
    for y in range(40, paper.shape[0], 52):
        cv2.line(paper, (0, y), (paper.shape[1], y), (225, 190, 170), 3)
    if squares:
        for x in range(30, paper.shape[1], 52):
            cv2.line(paper, (x, 0), (x, paper.shape[0]), (225, 190, 170), 3)
    return np.minimum(paper, printed.pixels[..., None])


@pytest.mark.parametrize("squares", [False, True])
def test_ruling_goes_and_minus_signs_stay(printed_page: Printed, squares: bool) -> None:
    shot = Shot(seed=3, tilt=0.03, turn=0.5, curl=0.003, size=SIZE, blur=0.7, shadow=0.2)
    photo = photograph(_ruled(printed_page, squares), shot)
    sheet = page.lay_out(photo.pixels[..., ::-1].copy())
    assert len(sheet.lines) == len(LINES)
    wide = max(line.pixels.shape[1] for line in sheet.lines)
    assert wide < 0.75 * sheet.grey.shape[1]
    blobs = ink.find_blobs(sheet.lines[2].pixels, 150)
    flat = (blobs.boxes[:, 2] > 2.2 * blobs.boxes[:, 3]) & (blobs.boxes[:, 2] > 10)
    assert np.count_nonzero(flat) >= 5  # two equals signs and a minus


def test_a_sketch_is_left_out(printed_page: Printed) -> None:
    pixels = printed_page.pixels.copy()
    cv2.line(pixels, (1500, 1500), (1900, 2000), 0, 5)
    cv2.line(pixels, (1900, 2000), (1300, 2000), 0, 5)
    cv2.line(pixels, (1300, 2000), (1500, 1500), 0, 5)
    cv2.putText(pixels, "Q", (1540, 1900), cv2.FONT_HERSHEY_DUPLEX, 1.4, 0, 3)
    sheet = page.lay_out(cv2.cvtColor(pixels, cv2.COLOR_GRAY2RGB))
    assert len(sheet.lines) == len(LINES)


def test_two_columns_are_read_one_after_the_other() -> None:
    left = [f"AB = {i}.5 kN" for i in range(1, 7)]
    right = [f"CD = {i}.5 kN (T)" for i in range(1, 7)]
    style = Style(size=(1000, 900), dpi=200, margin=0.08)
    both = np.hstack([compose(left, style).pixels, compose(right, style).pixels])
    sheet = page.lay_out(cv2.cvtColor(both, cv2.COLOR_GRAY2RGB))
    starts = [line.box[0] for line in sheet.lines]
    assert len(starts) == 12
    assert max(starts[:6]) < 900 < min(starts[6:])


@pytest.mark.parametrize("leading", [1.2, 1.35])
def test_dropped_letters_stay_with_their_line(leading: float) -> None:
    lines = ["Suivant y : 0 = L_y + P_y", "Moments : L_y = 0 et R_y = 4", "R_y = 91,9 kN; P_y"] * 2
    style = Style(typeset=True, leading=leading, size=(1400, 700), dpi=200)
    sheet = page.lay_out(cv2.cvtColor(compose(lines, style).pixels, cv2.COLOR_GRAY2RGB))
    assert len(sheet.lines) == len(lines)


def test_a_struck_line_is_known_as_such() -> None:
    printed = compose(["AB = 3.5 kN (T)", "AB = 5.3 kN (T)"], Style(size=(1200, 600), dpi=200))
    pixels = printed.pixels.copy()
    x, y, w, h = printed.boxes[0]
    cv2.line(pixels, (x - 5, y + h // 2 + 6), (x + w + 5, y + h // 2 + 2), 20, 4)
    sheet = page.lay_out(cv2.cvtColor(pixels, cv2.COLOR_GRAY2RGB))
    struck, plain = sheet.lines
    assert struck.struck
    assert struck.struck[0][1] - struck.struck[0][0] > 0.7 * w
    assert not plain.struck


def test_a_blank_page_has_no_lines() -> None:
    blank = np.full((1200, 900, 3), 240, np.uint8)
    assert page.lay_out(blank).lines == ()


def test_noise_and_a_furry_picture_have_few_lines_and_end(rng: np.random.Generator) -> None:
    furry = cv2.GaussianBlur(rng.integers(0, 255, (900, 900, 3)).astype(np.uint8), (0, 0), 2)
    furry = cv2.normalize(furry, None, 0, 255, cv2.NORM_MINMAX)
    assert len(page.lay_out(furry).lines) < 400


def test_a_map_of_a_page_turned_four_times_is_the_same() -> None:
    flat = flatten.FlatMap(np.eye(3), (300, 200))
    again = flatten.turned(flat, 4)
    points = np.array([[0.0, 0.0], [120.0, 50.0]])
    assert np.allclose(again.to_photo(points), flat.to_photo(points))
    once = flatten.turned(flat, 1)
    assert once.size == (200, 300)


def test_no_blobs_no_rows() -> None:
    blobs = ink.find_blobs(np.full((50, 50), 255, np.uint8), 150)
    assert cut.cut_rows(blobs, 10.0) == []


def test_the_camera_gives_the_same_photo_for_the_same_seed(printed_page: Printed) -> None:
    shot = replace(draw_shot(9), size=(300, 400))
    one, two = (photograph(printed_page.pixels, shot).pixels for _ in range(2))
    assert np.array_equal(one, two)
    other = photograph(printed_page.pixels, replace(shot, seed=10)).pixels
    assert not np.array_equal(one, other)


def test_a_shadow_over_a_corner_is_no_edge_of_the_page() -> None:
    square = np.array([[100, 80], [900, 60], [920, 1300], [90, 1310]], float)
    assert flatten._square(square)
    drawn_together = np.array([[200, 80], [800, 80], [950, 1300], [60, 1300]], float)
    assert flatten._square(drawn_together)
    cut_off = np.array([[100, 300], [900, 60], [920, 1300], [90, 1310]], float)
    assert not flatten._square(cut_off)
    for quarters in range(4):
        assert not flatten._square(np.roll(cut_off, quarters, axis=0))


def test_a_few_short_lines_do_not_bend_the_rest_of_the_page() -> None:
    lines = ["AB = 3.5 kN (T)", "BC = 12.25 kN (C)", "CD = 8.5 kN (T)", "Moments about D"]
    style = Style(font="DejaVuSerif.ttf", points=10, size=(1600, 2200), dpi=200, margin=0.05)
    printed = compose(lines, style)
    shot = Shot(seed=5, tilt=0.05, turn=1.5, curl=0.014, size=(1500, 2000), shadow=0.4)
    photo = photograph(printed.pixels, shot)
    sheet = page.lay_out(photo.pixels[..., ::-1].copy())
    assert len(sheet.lines) == len(lines)
    xs, ys = page._net(sheet.flat.size)
    assert np.abs(sheet.flat.lifted(xs, ys)).max() < 0.05 * max(sheet.flat.size)


def _rows(*letters: tuple[int, int, int, int]) -> list[list[int]]:
    """Cut a page with a block (x, y, width, height) a letter; return its rows by left edge."""
    paper = np.full((400, 900), 255, np.uint8)
    for x, y, w, h in letters:
        paper[y : y + h, x : x + w] = 0
    blobs = ink.find_blobs(paper, 128)
    return [sorted(int(x) for x in blobs.boxes[row.blobs, 0]) for row in cut.cut_rows(blobs, 26.0)]


def test_an_index_hung_below_its_letter_is_no_line_of_its_own() -> None:
    line = [(x, 100, 20, 26) for x in (40, 70, 100, 130, 190, 220, 250, 280)]
    index = (155, 124, 18, 32)
    below = [(40 + 30 * i, 190, 20, 26) for i in range(8)]
    assert [len(row) for row in _rows(*line, index, *below)] == [9, 8]


def test_a_short_line_of_its_own_stays_one() -> None:
    line = [(40 + 30 * i, 100, 20, 26) for i in range(8)]
    assert [len(row) for row in _rows(*line, (160, 165, 18, 32), (190, 165, 18, 32))] == [8, 2]


def test_rows_that_run_into_each_other_are_one_line() -> None:
    high = [(40 + 30 * i, 100, 20, 26) for i in range(10)]
    tails = [(340 + 60 * i, 114, 20, 44) for i in range(4)]  # as of q: grouped by themselves
    between = [(370, 100, 20, 26), (430, 100, 20, 26), (490, 100, 20, 26)]
    assert [len(row) for row in _rows(*high, *tails, *between)] == [17]
