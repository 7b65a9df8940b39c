"""Right workings of random structures: the equations in a person's order, as typed lines."""

from hypothesis import strategies as st
from strategies import beams, trusses

from verifier.statics import solve
from verifier.structure import read_sheet


@st.composite
def right_working(draw: st.DrawFn) -> tuple[str, str]:
    """Return (sheet, working) of a random truss or beam, every line of it right."""
    sheet = draw(st.one_of(trusses(), beams()))
    solution = solve(read_sheet(sheet))
    lines: list[str] = []
    body = ""
    for step in solution.steps():
        if step.free_body != body:
            body = step.free_body
            lines.append(f"{body}:")
        lines.append(step.text)
        lines.extend(step.gives)
    return sheet, "\n".join(lines) + "\n"
