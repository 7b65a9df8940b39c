"""The house rules of imports: one way only, the two sides blind to each other, lazy at the door."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import verifier

PACKAGE = Path(verifier.__file__).parent
ORDER = (
    *("errors", "findings", "units", "files", "grammars", "structure", "statics", "notation"),
    *("reading", "checking", "marking", "reporting", "pipeline", "arguments", "completion", "cli"),
)
BLIND = {
    "notation": {"structure", "statics"},
    "reading": {"structure", "statics"},
    "statics": {"notation", "reading"},
    "structure": {"notation", "reading"},
}
HEAVY = ("sympy", "numpy", "cv2", "rich", "lark", "pytesseract")
FILES = sorted(file for file in PACKAGE.rglob("*.py") if file != PACKAGE / "__init__.py")


def room_of(file):
    return file.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(file):
    """Every verifier module that a file imports, wherever in it the import stands."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            if node.module == "verifier":
                yield from (f"verifier.{name.name}" for name in node.names)
            else:
                yield node.module
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def rooms_imported(file):
    for module in imported(file):
        parts = module.split(".")
        if parts[0] == "verifier" and len(parts) > 1 and parts[1] != "__version__":
            yield parts[1]


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_a_room_imports_only_rooms_before_it(file):
    room = room_of(file)
    assert room in ORDER, f"{room} has no place in the order of rooms"
    later = {other for other in rooms_imported(file) if ORDER.index(other) > ORDER.index(room)}
    assert not later


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_what_was_written_and_what_is_right_stay_blind_to_each_other(file):
    assert not BLIND.get(room_of(file), set()) & set(rooms_imported(file))


def test_only_reading_touches_pictures_through_cv2_and_tesseract():
    guilty = [
        file
        for file in FILES
        if room_of(file) != "reading"
        and {module.split(".")[0] for module in imported(file)} & {"cv2", "pytesseract"}
    ]
    assert not guilty


@pytest.mark.parametrize("module", ["verifier", "verifier.cli", "verifier.arguments"])
def test_importing_the_door_loads_nothing_heavy(module):
    code = f"import sys, {module}; print([name for name in {HEAVY} if name in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


def test_the_package_gives_its_three_functions_lazily():
    assert callable(verifier.check)
    assert callable(verifier.solve)
    assert callable(verifier.read)
    with pytest.raises(AttributeError):
        verifier.no_such_thing  # noqa: B018 (the access itself is under test)
