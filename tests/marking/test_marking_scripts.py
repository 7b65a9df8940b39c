import os

import pytest

from verifier.errors import FileError, UsageError
from verifier.marking.scripts import digest_of, find_scripts, natural, printable, stamp_of


def test_one_script_a_file_or_a_subfolder_in_natural_order(tmp_path):
    for name in ("s10.txt", "s2.jpg", "S1/p10.png", "S1/p2.txt", "S1/p1.pdf"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("x")
    scripts = find_scripts(tmp_path)
    assert [script.name for script in scripts] == ["S1", "s2.jpg", "s10.txt"]
    assert [page.name for page in scripts[0].pages] == ["p1.pdf", "p2.txt", "p10.png"]


def test_what_is_not_a_script_is_left_out(tmp_path):
    for name in (".DS_Store", "Thumbs.db", "~$a.txt", "hoist.given", "scheme.toml", "marks.csv"):
        (tmp_path / name).write_text("x")
    (tmp_path / "_marks").mkdir()
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "page.txt").write_text("x")
    with pytest.raises(UsageError, match="no scripts"):
        find_scripts(tmp_path, (tmp_path / "own",))


def test_what_cannot_be_read_is_a_script_with_its_reason(tmp_path):
    (tmp_path / "essay.docx").write_text("x")
    (tmp_path / "empty").mkdir()
    (tmp_path / "mixed").mkdir()
    for page in ("1.txt", "2.docx"):
        (tmp_path / "mixed" / page).write_text("x")
    strange = {script.name: script.strange for script in find_scripts(tmp_path)}
    assert "a .docx file cannot be read" in strange["essay.docx"]
    assert "no page" in strange["empty"]
    assert "docx" in strange["mixed"]


def test_a_missing_folder_and_a_file_are_told_apart(tmp_path):
    with pytest.raises(FileError, match="no such folder"):
        find_scripts(tmp_path / "nowhere")
    (tmp_path / "file.txt").write_text("x")
    with pytest.raises(FileError, match="not a folder"):
        find_scripts(tmp_path / "file.txt")


def test_hash_and_stamp_follow_every_page(tmp_path):
    page = tmp_path / "a.txt"
    page.write_text("one")
    (script,) = find_scripts(tmp_path)
    before = digest_of(script), stamp_of(script)
    page.write_text("two")
    os.utime(page, ns=(1, 1))
    assert digest_of(script) != before[0]
    assert stamp_of(script) != before[1]


@pytest.mark.skipif(os.name == "nt", reason="names of bytes")
def test_names_that_are_no_text_are_printable_and_apart(tmp_path):
    for name in (b"a\xff.txt", b"a\\xff.txt", b"b\x1b[31m.txt", "Žofie 李.txt".encode()):
        with open(os.path.join(os.fsencode(tmp_path), name), "w") as file:
            file.write("x")
    names = [script.name for script in find_scripts(tmp_path)]
    assert len(set(names)) == 4
    assert "Žofie 李.txt" in names
    assert all(name.isprintable() and name.encode() for name in names)
    assert printable("\u202egpj.exe").isprintable()


def test_natural_order_takes_long_and_foreign_digits():
    assert sorted(["9" * 400, "2", "٣", "1"], key=natural)[:2] == ["1", "2"]
