"""Hostile files: each ends in a report or one clear line, and nothing in them is carried out."""

import io
import json
import struct
import zlib
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from verifier.cli import main

SHEET = Path(__file__).resolve().parent.parent / "samples" / "slip-hoist" / "slip-hoist.given"

WORKINGS = {
    "brackets": "(" * 1_000_000 + "\n",
    "closing": ")" * 300_000 + "\n",
    "powers": "A_x = 9**9**9**9\nA_y = 9^9^9^9 kN\n",
    "digits": "A_x = " + "9" * 300_000 + "\n",
    "points": "A_x = " + "9.,9" * 50_000 + "\n",
    "empty rows": "A_x = 1\n" + "\n" * 19_000,
    "terms": "A_x " + "+ 1" * 200_000 + " = 0\n",
    "equals": "=" * 100_000 + "\n",
    "blanks": " " * 40_000 + "Σ\n",
    "blanks behind": "A_x = 0, so" + " " * 60_000 + "\nB_y = 3\n",
    "letters": "Σ" * 100_000 + "\n" + "\u0301" * 1000 + "\n",
    "fractions": "\\frac{" * 50_000 + "\n",
    "code": "__import__('os').system('touch pwned') = 0\n{{7*7}} ${7*7} `touch pwned`\n",
    "spreadsheet": "=cmd|' /C touch pwned'!A0\n@SUM(1)\n",
    "markup": "<script>alert(1)</script> [bold red]x[/] \x1b[2J\x07 = 1\n",
    "empty": "",
    "blank": " \n\t\n\n",
    "nothing read": "\ufffd\u2028\u2029\x85\n",
}


def png(width, height):
    def chunk(kind, data):
        crc = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", crc)

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


PICTURES = {
    "huge.png": png(60_000, 60_000),
    "cut.png": png(800, 600)[:50],
    "empty.jpg": b"",
    "text.jpg": b"A_x = 3 kN\n",
    "not.pdf": b"%PDF-1.7\nnothing\n",
}

SHEETS = {
    "brackets": "let a = " + "(" * 90_000 + "1\n",
    "powers": "joint A 9^9^9^9^9 0\n",
    "small powers": "let a = 2^-99999999\njoint A a 0\n",
    "a cycle": "let a = b\nlet b = a\njoint A a 0\n",
    "many joints": "".join(f"joint A{i} {i} 0\n" for i in range(40_000)),
    "code": "title __import__('os').system('touch pwned')\njoint A open('pwned','w') 0\n",
    "no text": "\0\1\2",
    "empty": "",
}


def run(*argv):
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main([str(word) for word in argv])
    return status, out.getvalue(), err.getvalue()


@pytest.mark.parametrize("name", WORKINGS)
def test_a_hostile_working_ends_in_a_report(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    working = tmp_path / "working.txt"
    working.write_text(WORKINGS[name], encoding="utf-8")
    status, out, err = run("check", "--given", SHEET, working)
    assert status in (1, 2, 3)
    assert "program itself" not in err
    assert err.count("\n") == (1 if status == 2 else 0)
    assert "\x1b" not in out + err
    assert "\x07" not in out + err
    status, out, err = run("check", "--json", "--alone", working)
    assert "program itself" not in err
    assert all(json.loads(line) for line in out.splitlines())
    assert not (tmp_path / "pwned").exists()


@pytest.mark.parametrize("name", PICTURES)
def test_a_hostile_picture_ends_in_one_line(name, tmp_path):
    working = tmp_path / name
    working.write_bytes(PICTURES[name])
    status, out, err = run("check", "--given", SHEET, working)
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert "program itself" not in err


@pytest.mark.parametrize("name", SHEETS)
def test_a_hostile_sheet_ends_in_one_line(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    sheet = tmp_path / "sheet.given"
    sheet.write_text(SHEETS[name], encoding="utf-8")
    status, out, err = run("solve", sheet)
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert "program itself" not in err
    assert not (tmp_path / "pwned").exists()


def test_a_working_whose_name_is_markup_is_shown_as_it_is(tmp_path):
    working = tmp_path / "[red]=1+1.txt"
    working.write_text("A_x = 10.5 kN\n", encoding="utf-8")
    _, out, _ = run("check", "--given", SHEET, working)
    assert "[red]=1+1.txt" in out.replace("\n", "")
