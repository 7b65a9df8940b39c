"""Results made by hand, as a check of the boathouse's slip hoist would give them."""

from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result

CAUTIONS = (
    "Equilibrium alone is checked, not strength, stability, deflection or any code of practice.",
)

MOMENTS = "ΣM_P = 0 ⟲+: S_x(1.0) − 6(2.0) − 2.5(1.0) = 0"

FAULT = Finding(
    kind="lever-arm",
    line=2,
    columns=(24, 30),
    text="6(2.0)",
    where="whole structure, moments about P",
    expected="6(2.4)",
    message="The 6 kN load at Q stands 2.4 m to the right of P, so that is its lever arm about P.",
)


def lines(*rows):
    return tuple(
        LineVerdict(number, text, status, reads)
        for number, (text, status, reads) in enumerate(rows, 1)
    )


def faulty():
    return Result(
        working="hoist-slip.txt",
        given="hoist.given",
        verdict="fault",
        faults=(FAULT,),
        lines=lines(
            ("ΣF_y = 0: P_y − 6 = 0", "agrees", "P_y − 6 = 0"),
            (MOMENTS, "fault", "S_x·1.0 − 6·2.0 − 2.5·1.0 = 0"),
            ("S_x = 14.5 kN", "carried", "S_x = 14.5 kN"),
            ("P_x = −17.0 kN", "carried", "P_x = −17.0 kN"),
            ("Joint R", "remark", ""),
            ("RS = 2.5 kN (T)", "agrees", "RS = 2.5 kN (T)"),
        ),
        answers=(
            Answer("reaction P x", -19.4, "kN", "left", -17.0, "carried"),
            Answer("reaction P y", 6.0, "kN", "up", 6.0, "agrees"),
            Answer("P-R", -15.6, "kN", "compression", None, "missing"),
        ),
        assumed=(
            Assumed("S_x", "reaction at S, to the right", False),
            Assumed("P_y", "reaction at P, upward", True),
        ),
        cautions=CAUTIONS,
    )


def right():
    return Result(
        working="hoist-right.txt",
        given="hoist.given",
        verdict="agrees",
        lines=lines(
            ("Whole structure", "remark", ""),
            ("P_y − 6 = 0", "agrees", "P_y − 6 = 0"),
            ("P_y = 6 kN ↑", "agrees", "P_y = 6 kN, up"),
        ),
        answers=(Answer("reaction P y", 6.0, "kN", "up", 6.0, "agrees"),),
        cautions=CAUTIONS,
    )


def doubtful():
    return Result(
        working="page.jpg",
        given="hoist.given",
        verdict="undecided",
        lines=(
            LineVerdict(1, "P_y − 6 = 0", "agrees", "P_y − 6 = 0", 1, (40, 50, 300, 40), 0.99),
            LineVerdict(
                2, "PR = −16.6 kN", "doubtful", "PR = −16.6 kN", 1, (40, 110, 300, 40), 0.71,
                ("PR = −15.6 kN",),
            ),
            LineVerdict(3, "½)§ kN", "unread", "", 1, (40, 170, 200, 40), 0.31),
        ),
        answers=(Answer("P-R", -15.6, "kN", "compression", -16.6, "differs"),),
        notes=("page.jpg was turned by 90°",),
        cautions=CAUTIONS,
    )  # fmt: skip


def unfinished():
    return Result(
        working="half.txt",
        given="hoist.given",
        verdict="unfinished",
        lines=lines(("P_y = 6 kN", "agrees", "P_y = 6 kN")),
        answers=(
            Answer("P-R", -15.6, "kN", "compression", None, "missing"),
            Answer("R-S", 2.5, "kN", "tension", None, "missing"),
        ),
        cautions=CAUTIONS,
    )


def alone():
    return Result("page.txt", None, "agrees", lines=lines(("A = 3·2 = 6", "agrees", "A = 6")))
