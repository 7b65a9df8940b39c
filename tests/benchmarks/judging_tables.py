"""The table of what must be reached, with confidence intervals, and where it falls short."""

from __future__ import annotations

import math
from collections import Counter, defaultdict

from judging_outcomes import Outcome, missed


def wilson(k: int, n: int) -> tuple[float, float]:
    """95 % confidence interval of a share, in per cent."""
    if n == 0:
        return 0.0, 100.0
    z, p = 1.96, k / n
    mid = (p + z * z / (2 * n)) / (1 + z * z / n)
    half = z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n)
    return 100 * max(0.0, mid - half), 100 * min(1.0, mid + half)


def share(name: str, k: int, n: int, want: str) -> str:
    low, high = wilson(k, n)
    value = 100 * k / n if n else float("nan")
    return f"{name:<44}{value:7.2f} %  [{low:6.2f}, {high:6.2f}]  {k}/{n}  {want}".rstrip()


def table(done: list[Outcome]) -> str:
    usual = [o for o in done if not o.situation]
    special = [o for o in done if o.situation]
    right = [o for o in usual if o.kind == "right"]
    faulty = [o for o in usual if o.group == "single"]
    sets = [o for o in usual if o.group not in ("single", "right")]
    n = len(faulty)
    lines = sum(o.lines for o in done)
    rows = [
        share(
            "right workings wrongly accused",
            sum(o.verdict == "fault" for o in right),
            len(right),
            "(≤ 0.5)",
        ),
        share(
            "  right workings that agree", sum(o.verdict == "agrees" for o in right), len(right), ""
        ),
        share("fault found", sum(o.found for o in faulty), n, "(100)"),
        share("first line right", sum(o.line for o in faulty), n, "(≥ 98)"),
        share("kind right", sum(o.kind_right for o in faulty), n, "(≥ 95)"),
        share("term right", sum(o.term for o in faulty), n, "(≥ 95)"),
        share("  term exactly to the column", sum(o.exact for o in faulty), n, ""),
        share("  nothing else told beside it", sum(o.found and not o.more for o in faulty), n, ""),
        share("compound, repeated, misread: found", sum(o.found for o in sets), len(sets), "(100)"),
        share("  first line right", sum(o.line for o in sets), len(sets), "(≥ 98)"),
        share("  kind right", sum(o.kind_right for o in sets), len(sets), "(≥ 95)"),
        share("  term right", sum(o.term for o in sets), len(sets), "(≥ 95)"),
        share("lines not understood", sum(o.unread for o in done), lines, "(≤ 1)"),
        share("  lines undecided", sum(o.undecided for o in done), lines, ""),
        share("crashes", sum(o.verdict == "crash" for o in done), len(done), "(0)"),
    ]
    return "\n".join(rows + situations(special))


def situations(done: list[Outcome]) -> list[str]:
    """Rows of the pages that are more than a right one or a plant in one."""
    out = []
    for name in sorted({o.situation for o in done}):
        these = [o for o in done if o.situation == name]
        right = [o for o in these if o.kind == "right"]
        bad = [o for o in these if o.kind != "right"]
        if right:
            accused = sum(o.verdict in ("fault", "crash") for o in right)
            out.append(share(f"{name}: accused", accused, len(right), "(≤ 0.5)"))
        if bad:
            out.append(share(f"{name}: found", sum(o.found for o in bad), len(bad), "(100)"))
            words = "told once" if bad[0].kind == "swapped" else "line right"
            out.append(share(f"  {words}", sum(o.line for o in bad), len(bad), "(≥ 98)"))
            out.append(share("  kind right", sum(o.kind_right for o in bad), len(bad), "(≥ 95)"))
            out.append(share("  term right", sum(o.term for o in bad), len(bad), "(≥ 95)"))
    return out


def cent(k: int, n: int) -> str:
    return f"{100 * k / n:.0f}" if n else "-"


def breakdown(done: list[Outcome], by: str) -> str:
    """How each kind, family or style fares."""
    groups: dict[str, list[Outcome]] = defaultdict(list)
    for o in done:
        groups[getattr(o, by)].append(o)
    heads = ("right", "accused", "faulty", "found", "line", "kind", "term", "unread", "ms")
    out = [f"\n{'by ' + by:<26}" + "".join(f"{h:>8}" for h in heads)]
    for name, os in sorted(groups.items()):
        right = [o for o in os if o.kind == "right"]
        bad = [o for o in os if o.kind != "right"]
        n = len(bad)
        cells = (
            str(len(right)),
            str(sum(o.verdict == "fault" for o in right)),
            str(n),
            cent(sum(o.found for o in bad), n),
            cent(sum(o.line for o in bad), n),
            cent(sum(o.kind_right for o in bad), n),
            cent(sum(o.term for o in bad), n),
            str(sum(o.unread for o in os)),
            f"{1e3 * sum(o.seconds for o in os) / len(os):.0f}",
        )
        out.append(f"{name:<26}" + "".join(f"{c:>8}" for c in cells))
    return "\n".join(out)


def worst(done: list[Outcome]) -> str:
    classes: Counter[str] = Counter()
    for o in done:
        if o.kind == "right" and o.verdict == "fault":
            classes[f"right accused of {o.said.split(' ')[2]} in {o.family}"] += 1
        elif o.kind != "right" and missed(o):
            what = (
                "not found"
                if not o.found
                else "wrong line"
                if not o.line
                else (f"called {o.got_kind}" if not o.kind_right else "wrong term")
            )
            classes[f"{o.kind} {what} in {o.family}"] += 1
    return "\nworst classes\n" + "\n".join(
        f"  {k:5d}  {name}" for name, k in classes.most_common(15)
    )
