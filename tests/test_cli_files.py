import codecs
import os

import pytest

from verifier.errors import FileError, UsageError
from verifier.files import (
    LIMITS,
    MOST_LINES,
    decode,
    is_picture,
    must_exist,
    open_text,
    path_of,
    sheet_beside,
)


def test_a_string_with_a_line_break_is_text_and_an_existing_name_a_file(tmp_path):
    file = tmp_path / "hoist.txt"
    file.write_text("P_y = 6\n", encoding="utf-8")
    assert path_of("P_y = 6\nP_x = 1") is None
    assert path_of(str(file)) == file
    assert path_of("P_y = 6") is None
    assert path_of("x" * 100_000) is None
    assert open_text(str(file), "working") == ("P_y = 6\n", ())
    assert open_text("P_y = 6", "working") == ("P_y = 6", ())


@pytest.mark.parametrize("name", ["no-such.given", "folder/no such.txt", "x.tex", "x.JPG"])
def test_the_name_of_a_file_that_is_not_there_is_no_text(name):
    with pytest.raises(FileError, match="no such file"):
        open_text(name, "working")


@pytest.mark.parametrize(
    "data",
    [
        "Σ = 6°".encode(),
        "Σ = 6°".encode("utf-8-sig"),
        codecs.BOM_UTF16_LE + "Σ = 6°".encode("utf-16-le"),
        codecs.BOM_UTF16_BE + "Σ = 6°".encode("utf-16-be"),
    ],
)
def test_encodings_are_told_by_their_marks(data):
    assert decode(data, "x") == ("Σ = 6°", ())


def test_western_letters_are_read_with_a_note():
    text, notes = decode("θ".encode() and b"30\xb0 \x96 2", "old.txt")
    assert text == "30° – 2"
    assert "cp1252" in notes[0]


@pytest.mark.parametrize("data", [b"a\0b", codecs.BOM_UTF16_LE + b"\x00\xd8", b"\xef\xbb\xbf\xff"])
def test_what_is_no_text_is_said_so(data):
    with pytest.raises(FileError, match="old"):
        decode(data, "old")


def test_too_large_a_file_is_refused_before_it_is_opened(tmp_path):
    file = tmp_path / "big.given"
    with file.open("wb") as out:
        out.truncate(10_000_000_000)
    with pytest.raises(FileError, match="too many"):
        open_text(file, "sheet")
    with pytest.raises(FileError, match="too many"):
        open_text("\n" * (LIMITS["sheet"] + 1), "sheet")


def test_a_working_of_too_many_lines_is_refused():
    assert open_text("A = 1\n" * MOST_LINES, "working")
    with pytest.raises(FileError, match="too many"):
        open_text("A = 1\n" * (MOST_LINES + 1), "working")


def test_a_missing_file_gets_the_near_name(tmp_path):
    (tmp_path / "hoist.txt").touch()
    with pytest.raises(FileError, match=r"no such file; did you mean .*hoist\.txt"):
        must_exist(tmp_path / "hoits.txt")


def test_folders_and_pipes_are_no_files(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="folder"):
        must_exist(tmp_path)
    with pytest.raises(FileError, match="ordinary"):
        must_exist(tmp_path / "pipe")


def test_the_one_sheet_beside_a_working_is_found(tmp_path):
    working = tmp_path / "w.txt"
    with pytest.raises(UsageError, match=r"no \.given sheet beside"):
        sheet_beside(working)
    (tmp_path / "a.given").touch()
    assert sheet_beside(working) == tmp_path / "a.given"
    (tmp_path / "b.given").touch()
    with pytest.raises(UsageError, match=r"several .*a\.given, b\.given"):
        sheet_beside(working)


def test_pictures_are_known_by_name_or_by_their_first_bytes(tmp_path):
    (tmp_path / "scan").write_bytes(b"\x89PNG\r\n\x1a\n")
    (tmp_path / "web").write_bytes(b"RIFF\0\0\0\0WEBPVP8 ")
    (tmp_path / "text").write_bytes(b"RIFF is a word")
    assert is_picture(tmp_path / "scan")
    assert is_picture(tmp_path / "web")
    assert is_picture(tmp_path / "PAGE.JPG")
    assert not is_picture(tmp_path / "text")
    with pytest.raises(FileError, match="picture, not a givens sheet"):
        open_text(tmp_path / "scan", "sheet")
