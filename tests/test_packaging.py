"""The wheel is built and looked into: everything that a user needs, and nothing else."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MEGABYTE = 1_000_000


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (built,) = folder.glob("counterpoise-*.whl")
    return built


@pytest.fixture(scope="module")
def names(wheel):
    with zipfile.ZipFile(wheel) as archive:
        return archive.namelist()


def tracked(*folders):
    if shutil.which("git") is None:
        return []
    listed = subprocess.run(
        ["git", "ls-files", *folders], cwd=ROOT, capture_output=True, text=True, check=False
    )
    return listed.stdout.splitlines()


def test_the_wheel_holds_every_tracked_file_of_the_package_and_the_grammars(names):
    files = tracked("verifier", "grammar")
    if not files:
        pytest.skip("not a git checkout")
    there = {name.replace("verifier/grammar/", "grammar/") for name in names}
    assert not {file for file in files if (ROOT / file).exists()} - there


def test_the_wheel_holds_nothing_else_at_its_top(names):
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"verifier"}
    assert not [name for name in names if name.endswith((".pyc", ".pyo"))]
    assert not [name for name in names if "/tests/" in name]


def test_the_wheel_holds_the_samples_and_stays_small(names, wheel):
    samples = [name for name in names if name.startswith("verifier/samples/")]
    sheets = {sheet.name for sheet in (ROOT / "samples").glob("*/*.given")}
    assert {Path(name).name for name in samples if name.endswith(".given")} == sheets
    assert "verifier/samples/slip-hoist/faulty.jpg" in names
    assert wheel.stat().st_size < 40 * MEGABYTE


def test_the_command_is_declared(wheel, names):
    (entry,) = (name for name in names if name.endswith(".dist-info/entry_points.txt"))
    with zipfile.ZipFile(wheel) as archive:
        assert b"counterpoise = verifier.cli:main" in archive.read(entry)


def test_the_wheel_works_away_from_the_checkout(wheel, tmp_path):
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "site")
    if shutil.which("git") is None:
        return []
    listed = subprocess.run(
        [sys.executable, "-P", "-m", "verifier.cli", "sample"],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path / "site"), "PATH": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    assert listed.stdout.split()
