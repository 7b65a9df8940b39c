import every_output

from verifier.reporting.pdf import browser


def test_one_command_builds_every_output(tmp_path, monkeypatch):
    monkeypatch.setattr(every_output, "PHOTOS", every_output.PHOTOS[:1])  # the quicker one
    files = {file.name: file for file in every_output.build(tmp_path)}
    wanted = ["faulty.txt", "json.txt", "page-faulty.html", "record-right.html", "figure.svg",
              "figure.png", "joint-B.svg"]  # fmt: skip
    if browser():
        wanted += ["page-faulty.pdf", "record-right.pdf"]
    assert not [name for name in wanted if name not in files]
    assert all(file.stat().st_size for file in files.values())
    texts = [file for file in files.values() if file.suffix == ".txt"]
    assert not [file.name for file in texts if "program itself" in file.read_text("utf-8")]
