import subprocess
import sys

import pytest

from verifier import __version__
from verifier.cli import exit_status, main
from verifier.findings import Result


def said(capsys, *argv):
    try:
        status = main(argv)
    except SystemExit as leaving:
        status = leaving.code
    return status, *capsys.readouterr()


def test_no_arguments_shows_what_to_do_in_ten_lines(capsys):
    status, out, err = said(capsys)
    assert (status, err) == (0, "")
    assert len(out.splitlines()) <= 10
    assert all(len(row) <= 80 for row in out.splitlines())
    assert "counterpoise check" in out


def test_help_and_version(capsys):
    status, out, _ = said(capsys, "--help")
    assert status == 0
    for command in ["check", "solve", "read", "mark", "confirm", "draw", "faults", "new", "sample"]:
        assert f"\n    {command} " in out
    assert said(capsys, "--version") == (0, f"counterpoise {__version__}\n", "")


@pytest.mark.parametrize(
    ("argv", "hint"),
    [
        (["chek", "x.txt"], "did you mean check"),
        (["hoist.txt"], "did you mean: counterpoise check hoist.txt"),
        (["check"], "WORKING"),
        (["check", "--jsn", "x.txt"], "did you mean --json"),
        (["check", "--strict-roundin", "x.txt"], "did you mean --strict-rounding"),
        (["check", "--given", "a.given", "--alone", "x.txt"], "exclude each other"),
        (["solve", "a.given", "b.given"], "no further word 'b.given'"),
        (["check", "no-such.txt"], "no such file"),
        (["solve", "no-such.given"], "no such file"),
        (["--verison"], "did you mean --version"),
        (["completion", "csh"], "none of bash, zsh, fish"),
        (["help", "check"], "did you mean counterpoise check --help"),
        (["--langauge", "de"], "did you mean --language"),
        (["check", "x.txt", "--page", "x.docx"], "does not end in .html or .pdf"),
        (["check", "x.txt", "--ink", "x.jpg"], "does not end in .png"),
        (["check", "x.txt", "--page", "no-such/x.html"], "there is no folder no-such"),
        (["check", "x.html", "--page", "x.html"], "is named twice"),
        (["check", "x.txt", "--hints"], "are for a page"),
        (["check", "x.txt", "--reference", "7"], "are for a record"),
        (["check", "x.given", "y.txt"], "did you mean: counterpoise check y.txt --given x.given"),
        (["check", "x.given"], "did you mean: counterpoise solve x.given"),
        (["check", "x.txt", "--given"], "needs a word after it"),
        (["mark", "a", "b", "--workers", "-3"], "is no number from 0 on"),
        (["mark", "a", "b", "--seconds", "soon"], "is no number of seconds"),
        (["draw", "a.given", "--svg", "x.png"], "does not end in .svg"),
        (["new", "no-such/x.given"], "there is no folder no-such"),
        (["check", "x\x1b[2J.txt"], "no such file"),
        (["check", "x\ny.txt"], "no such file"),
    ],
)
def test_misuse_is_one_clear_line_with_the_likely_word(capsys, argv, hint):
    status, out, err = said(capsys, *argv)
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert err.startswith("counterpoise: ")
    assert hint in err
    assert "\x1b" not in err


def verdicts(*names):
    return [Result("w", None, name) for name in names]


@pytest.mark.parametrize(
    ("names", "failed", "status"),
    [
        (["agrees"], False, 0),
        (["agrees", "undecided"], False, 3),
        (["unfinished"], False, 3),
        (["undecided", "fault", "agrees"], False, 1),
        (["agrees"], True, 2),
        (["fault"], True, 1),
        ([], True, 2),
    ],
)
def test_a_fault_outweighs_the_rest(names, failed, status):
    assert exit_status(verdicts(*names), failed=failed) == status


def test_an_error_of_the_program_itself_is_one_line_too(capsys, monkeypatch):
    def broken(args):
        raise ValueError("two\nlines")

    monkeypatch.setitem(sys.modules["verifier.cli"].COMMANDS, "new", broken)
    status, _, err = said(capsys, "new")
    assert status == 2
    assert err.count("\n") == 1
    assert "ValueError: two lines" in err


def test_new_writes_a_sheet_and_never_over_another(capsys, tmp_path):
    sheet = tmp_path / "mine.given"
    assert said(capsys, "new", str(sheet))[0] == 0
    assert "joint" in sheet.read_text(encoding="utf-8")
    status, _, err = said(capsys, "new", str(sheet))
    assert status == 2
    assert "is there already" in err
    assert said(capsys, "new")[1] == sheet.read_text(encoding="utf-8")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_names_every_command(capsys, shell):
    _, out, _ = said(capsys, "completion", shell)
    assert all(command in out for command in ("check", "solve", "sample"))
    assert "strict-rounding" in out


def test_the_bash_completion_completes(capsys, tmp_path):
    script = tmp_path / "complete.sh"
    script.write_text(said(capsys, "completion", "bash")[1], encoding="utf-8")
    ask = (
        f". {script}; COMP_WORDS=(counterpoise {{}}); COMP_CWORD={{}}; _counterpoise;"
        ' echo "${{COMPREPLY[@]}}"'
    )
    for words, at, answer in [
        ("che", 1, "check"),
        ("check --str", 2, "--strict-rounding"),
        ("check --language d", 3, "de"),
        ("faults lev", 2, "lever-arm"),
        ("sample slip-h", 2, "slip-hoist"),
        ("check slip", 2, ""),
    ]:
        ran = subprocess.run(
            ["bash", "-c", ask.format(words, at)], capture_output=True, text=True, check=True
        )
        assert ran.stdout.strip() == answer


def test_a_closed_pipe_ends_quietly():
    ran = subprocess.run(
        ["bash", "-c", f"{sys.executable} -m verifier.cli --help | head -1 >/dev/null"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stderr == ""
