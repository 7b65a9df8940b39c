"""How well neighbouring glyphs go together, and the likeliest line of them.

Digits keep company with digits; nothing here knows what the line should say.
"""

import numpy as np

from verifier.reading.shapes import GLYPHS, Array

_KEPT = 5  # candidates a glyph
_DEEPEST = 9.0  # nats below the best at which a candidate is dropped

_KINDS = {
    **dict.fromkeys("0123456789", "d"), **dict.fromkeys("ABCDEFGHIJKLMNOPQRSTUVWXYZ", "U"),
    **dict.fromkeys("abcdefghijklmnopqrstuvwxyzéèàüöäçñóß", "l"),
    **dict.fromkeys("αβγδεηθλμπρστφωΔΣΦΩ", "g"), **dict.fromkeys(".,", "p"),
    **dict.fromkeys("+−=×·÷/<>≈≤≥±*", "o"),
}  # fmt: skip
_TURNING = frozenset("↺↻→←⇒")  # these do not cling to a figure or a name


def likeliest(
    scores: list[Array], scripts: list[int], spaces: list[bool]
) -> tuple[list[int], list[dict[int, float]]]:
    """Return the likeliest classes together, and what each may be, given its neighbours."""
    options = [_options(one) for one in scores]
    forward: list[Array] = []
    for i, (which, own) in enumerate(options):
        if i == 0:
            forward.append(own)
            continue
        step = _steps(options[i - 1][0], which, spaces[i], scripts[i - 1] == scripts[i])
        forward.append(np.asarray(own + _logsum(forward[-1][:, None] + step, 0)))
    backward: list[Array] = [np.zeros(len(options[-1][0]), np.float32)]
    for i in range(len(options) - 2, -1, -1):
        step = _steps(options[i][0], options[i + 1][0], spaces[i + 1], scripts[i] == scripts[i + 1])
        ahead = options[i + 1][1] + backward[0]
        backward.insert(0, np.asarray(_logsum((step + ahead[None, :]).T, 0)))
    picks, beliefs = [], []
    for (which, _), ahead, back in zip(options, forward, backward, strict=True):
        both = ahead + back
        belief = np.exp(both - _logsum(both, 0))
        picks.append(int(which[int(belief.argmax())]))
        beliefs.append({int(k): float(p) for k, p in zip(which, belief, strict=True)})
    return picks, beliefs


def _together(left: int, right: int, space: bool, level: bool) -> float:
    """How well two neighbours go together, in nats (0 or less)."""
    a, b = GLYPHS[left], GLYPHS[right]
    ka, kb = _KINDS.get(a, "x"), _KINDS.get(b, "x")
    if a == "°" and not space and kb in "dU":
        return -3.0  # a raised dot or star: after degrees comes a sign or a space
    if not level:
        return 0.0
    if space:
        return -1.0 if b in ".,:;)" else 0.0
    cost = 0.0
    if (a in _TURNING and kb in "dUl") or (b in _TURNING and ka in "dUl"):
        cost -= 2.0
    if {ka, kb} <= {"d", "p"}:
        return -1.5 if ka == kb == "p" else 0.0
    if ka in "dp" and b in "OolISZBsz":
        cost -= 2.0
    if a in "OolISZB" and (kb == "d" or b in "."):
        cost -= 2.0
    if ka == "l" and kb == "U":
        cost -= 0.0 if (a, b) in {("k", "N"), ("a", "N")} else 2.5
    if (ka == "g" and kb == "l") or (ka == "l" and kb == "g" and a not in "ns"):
        cost -= 2.0  # ct and rt look like α; after a function's name a Greek letter may stand
    if ka == "l" and kb == "d":
        cost -= 0.8
    if (ka in "lU" and b in "×*") or (a in "×*" and kb == "l"):
        cost -= 0.7
    if "|" in (a, b) or "~" in (a, b) or "!" in (a, b):
        cost -= 1.5
    return cost


def _options(scores: Array) -> tuple[Array, Array]:
    order = np.argsort(-scores)[:_KEPT]
    order = order[scores[order] > scores[order[0]] - _DEEPEST]
    own = scores[order]
    return order, np.asarray(own - _logsum(own, 0), np.float32)


def _steps(left: Array, right: Array, space: bool, level: bool) -> Array:
    return np.array(
        [[_together(int(a), int(b), space, level) for b in right] for a in left], np.float32
    )


def _logsum(x: Array, axis: int) -> Array:
    top = x.max(axis=axis, keepdims=True)
    return np.asarray(np.log(np.exp(x - top).sum(axis=axis)) + top.squeeze(axis))
