"""The two commands as typed, on a sample, through the real checker."""

import shutil
from pathlib import Path

import pytest

from verifier.cli import main
from verifier.marking.options import ConfirmOptions, MarkOptions

SAMPLE = Path(__file__).parents[2] / "samples" / "slip-hoist"


@pytest.fixture
def folder(tmp_path):
    scripts = tmp_path / "scripts"
    scripts.mkdir()
    shutil.copy(SAMPLE / "right.txt", scripts / "anna.txt")
    shutil.copy(SAMPLE / "faulty.txt", scripts / "ben.txt")
    shutil.copy(SAMPLE / "slip-hoist.given", scripts)
    return scripts


def test_a_pile_from_the_command_line(folder, capsys):
    words = ["mark", str(folder / "slip-hoist.given"), str(folder), "--workers", "1"]
    assert main(words) == 1
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "2 scripts: 1 right, 1 faulty"
    assert said[-1] == f"results: {folder / '_marks'}"
    assert main([*words, "--override", "ben", "total", "3", "copied", "--by", "Jo"]) == 1
    assert "nothing has changed" in capsys.readouterr().out
    assert ",Jo," in (folder / "_marks" / "marks.csv").read_text(encoding="utf-8-sig")
    assert main([*words, "--forget", "ben.txt"]) == 0
    assert main(["confirm", str(folder)]) == 0
    assert "No line waits" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["mark", "none.given", "."], "none.given"),
        (["mark", "{sheet}", "nowhere"], "no such folder"),
        (["mark", "{sheet}", "{folder}", "--scheme", "none.toml"], "none.toml"),
        (["mark", "{sheet}", "{folder}", "--override", "x", "y", "z", "w"], "not a number"),
        (["mark", "{sheet}", "{folder}", "--forget", "x"], "no marking run"),
        (["confirm", "nowhere"], "no marking run"),
    ],
)
def test_what_cannot_be_is_one_clear_line(folder, capsys, words, said):
    places = {"sheet": str(folder / "slip-hoist.given"), "folder": str(folder)}
    assert main([word.format(**places) for word in words]) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert told.err.count("\n") == 1
    assert told.out == ""


def test_a_structure_without_a_solution_is_told_at_once(folder, capsys):
    sheet = folder / "loose.given"
    sheet.write_text("joint A 0 0\njoint B 1 0\nmember A-B\npin A\nload B 2 down\nfind A-B\n")
    assert main(["mark", str(sheet), str(folder)]) == 2
    assert "mechanism" in capsys.readouterr().err
    assert not (folder / "_marks").exists()


def test_every_option_has_its_field():
    from verifier.arguments import parse

    for command, options in (("mark x y", MarkOptions), ("confirm x", ConfirmOptions)):
        names = set(vars(parse(command.split())))
        assert set(options.__dataclass_fields__) <= names
