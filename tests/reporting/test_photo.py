from dataclasses import replace

import made_results as made
import pytest
from PIL import Image

from verifier.errors import UsageError
from verifier.findings import Finding, LineVerdict, Result
from verifier.reporting.outputs import Wanted, hand_on
from verifier.reporting.photo import INK, Photo, inked, photos, save_inked, written_part

BOX = (300, 200, 200, 40)


def result(status="fault", box=BOX, page=1):
    line = LineVerdict(1, "6(2.0)", status, "6·2.0", page, (250, 190, 400, 60), 0.9)
    fault = Finding("lever-arm", 1, (0, 6), "6(2.0)", "joint Q", "6(2.4)", "It is 2.4 m.", box)
    return Result(
        "page.png", "hoist.given", "fault", (fault,) if status == "fault" else (), (line,)
    )


def page():
    return Photo(1, Image.new("RGB", (800, 600), "white"))


def coloured(image, colour):
    raw = image.convert("RGB").tobytes()
    at = [i // 3 for i in range(0, len(raw), 3) if tuple(raw[i : i + 3]) == colour]
    return [(i % image.width, i // image.width) for i in at]


def test_the_fault_is_ringed_around_its_term_and_not_on_it():
    spots = coloured(inked(page(), result()), INK["fault"])
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    assert min(xs) < 300
    assert max(xs) > 500
    assert min(ys) < 200
    assert max(ys) > 240
    assert (400, 220) not in spots


def test_a_fault_without_a_box_of_its_own_rings_its_line():
    spots = coloured(inked(page(), result(box=None)), INK["fault"])
    assert min(x for x, _ in spots) < 250
    assert max(x for x, _ in spots) > 650


def test_other_states_have_a_shape_of_their_own():
    carried = coloured(inked(page(), result("carried")), INK["carried"])
    assert carried
    assert max(x for x, _ in carried) < 250
    assert coloured(inked(page(), result("doubtful")), INK["doubtful"])
    assert not coloured(inked(page(), result("agrees")), INK["fault"])


def test_ink_goes_to_its_page_only_and_never_off_it():
    assert not coloured(inked(page(), result(page=2)), INK["fault"])
    inked(page(), result(box=(790, 590, 500, 500)))
    inked(page(), result(box=(-50, -50, 10, 10)))


def test_the_part_that_is_written_on_is_cut_out():
    part = written_part(page(), result())
    assert part.image.size == (250 + 400 + 100 - 200, 190 + 60 + 50 - 140)
    assert written_part(page(), result(page=2)).image.size == (800, 600)


def test_each_page_is_written_with_ink_on_it(tmp_path):
    first, second = page().image, page().image
    first.save(tmp_path / "w.tiff", save_all=True, append_images=[second])
    files = save_inked(tmp_path / "w.tiff", result(), tmp_path / "ink.png")
    assert [file.name for file in files] == ["ink.png", "ink-2.png"]
    assert coloured(Image.open(files[0]), INK["fault"])
    assert not coloured(Image.open(files[1]), INK["fault"])


def test_a_strip_holds_its_line():
    image = page().image
    image.paste((0, 0, 0), (300, 200, 500, 240))
    (tmp,) = (Photo(1, image).strip(BOX),)
    assert tmp.startswith(b"\xff\xd8")
    assert photos.__doc__


def test_the_page_of_a_photo_shows_photo_and_strips(tmp_path):
    working = tmp_path / "page.png"
    page().image.save(working)
    files = hand_on(
        replace(made.doubtful(), working="page.png"), working, None, None,
        Wanted(page=tmp_path / "p.html", ink=tmp_path / "i.png"),
    )  # fmt: skip
    html = files[0].read_text(encoding="utf-8")
    assert html.count("data:image/jpeg;base64,") == 3
    assert "Line 2 as photographed" in html
    assert files[1].name == "i.png"


def test_ink_on_text_is_refused(tmp_path):
    working = tmp_path / "w.txt"
    working.write_text("P = 6\n", encoding="utf-8")
    with pytest.raises(UsageError, match="no photo"):
        hand_on(made.right(), working, None, None, Wanted(ink=tmp_path / "i.png"))
