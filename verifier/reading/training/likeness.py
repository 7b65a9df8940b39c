"""Learns how shapes are compared on a page (`own_hand.py`), from pages whose writing is known.

It begins with the directions in which hands differ most against one hand's own spread, and goes on
from there by what counts in reading: of two signs that the ink may be, the page's examples are to
speak for the right one. Real doubts of reading are few; so sure signs are held as well against what
they are often taken for, with leads made up.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional as fn

Kind = tuple[str, int]
Shape = NDArray[np.float16]
Held = dict[str, NDArray[np.generic]]
_DIRECTIONS = 120
_FEW = 8  # a sign seen less often has no usual place
_OF_ONE_HAND = 3
_DAMP = 0.01  # of the usual spread, added to every direction
_EXAMPLES = 12  # of each sign, at most
_WEIGHT, _MOST = 0.1, 12.0
_LEADS = (-2.0, 1.0)  # of doubts made up; a real one is cut short likewise
_FORGOTTEN = 0.4  # of the examples
_BATCH = 256


@dataclass(frozen=True)
class Sign:
    """A sign of a page as it was read: its place, what it is, and its shape (seen,)."""

    line: int
    stream: int
    column: int
    kind: Kind
    shape: Shape

    def beside(self, other: "Sign") -> bool:
        """Return whether it is other ink than another sign."""
        same = (self.line, self.stream) == (other.line, other.stream)
        return not same or abs(self.column - other.column) > 3


@dataclass(frozen=True)
class Doubt:
    """Two signs that ink was taken for, the right one first, and by how much that is ahead."""

    right: Sign
    wrong: Sign
    lead: float


@dataclass(frozen=True)
class Page:
    """A page in one hand: its signs that were read surely, and its doubts."""

    hand: str
    signs: list[Sign]
    doubts: list[Doubt]


def begun(pages: Sequence[Page]) -> Held:
    """Return the directions in which hands differ most against one hand's own spread."""
    by_kind: dict[Kind, list[NDArray[np.float32]]] = defaultdict(list)
    for page in pages:
        for sign in page.signs:
            by_kind[sign.kind].append(sign.shape.astype(np.float32))
    usual = {k: np.mean(v, axis=0) for k, v in sorted(by_kind.items()) if len(v) >= _FEW}
    by_hand: dict[tuple[str, str], list[NDArray[np.float32]]] = defaultdict(list)
    for page in pages:
        for sign in page.signs:
            if sign.kind in usual:
                by_hand[page.hand, sign.kind[0]].append(sign.shape - usual[sign.kind])
    groups = [np.array(v, np.float64) for v in by_hand.values() if len(v) >= _OF_ONE_HAND]
    means = np.array([group.mean(axis=0) for group in groups])
    apart = np.concatenate([group - group.mean(axis=0) for group in groups])
    within = apart.T @ apart / (len(apart) - len(groups))
    between = means.T @ means / len(groups) - within * np.mean([1 / len(g) for g in groups])
    within += _DAMP * np.trace(within) / len(within) * np.eye(len(within))
    spread, axes = np.linalg.eigh(within)
    even = axes / np.sqrt(spread)
    share, turned = np.linalg.eigh(even.T @ between @ even)
    turn = (even @ turned)[:, ::-1][:, :_DIRECTIONS]
    return {
        "turn": turn.astype(np.float32),
        "between": np.maximum(share[::-1][:_DIRECTIONS], 0.01).astype(np.float32),
        "usual": np.array([place @ turn for place in usual.values()], np.float32),
        "signs": np.array([sign for sign, _ in usual]),
        "levels": np.array([level for _, level in usual], np.int8),
    }


class Comparing(nn.Module):
    """What `own_hand.Likeness` computes, for many doubts at once."""

    def __init__(self, held: Held) -> None:
        super().__init__()
        self.turn = nn.Parameter(torch.from_numpy(np.ascontiguousarray(held["turn"])))
        self.spread = nn.Parameter(torch.from_numpy(np.log(held["between"])))
        self.usual = nn.Parameter(torch.from_numpy(held["usual"].copy()))
        self.weight = nn.Parameter(torch.tensor(_WEIGHT).log())

    def forward(self, doubts: "Rows", at: Tensor) -> Tensor:
        """Return by how many nats the examples (B,) speak for the right sign."""
        own = doubts.own[at].float() @ self.turn - self.usual[doubts.own_kind[at]]
        others = doubts.others[at].float() @ self.turn - self.usual[doubts.other_kind[at]]
        kept = doubts.there[at].float()
        if self.training:
            kept = kept * (torch.rand_like(kept) > _FORGOTTEN)
            kept[..., 0] = 1.0
        count = kept.sum(2, keepdim=True)
        mean = (others * kept[..., None]).sum(2) / count
        between = self.spread.exp()
        known = between / (between + 1 / count)
        alone, every = 1 + between * (1 - known), 1 + between
        nats = own**2 / every - (own - known * mean) ** 2 / alone + torch.log(every / alone)
        gain = nats.sum(2) / 2
        return _MOST * self.weight.exp() * torch.tanh((gain[:, 0] - gain[:, 1]) / _MOST)


@dataclass(frozen=True)
class Rows:
    """Doubts with the page's examples of both signs, on the device."""

    lead: Tensor
    own: Tensor
    own_kind: Tensor
    others: Tensor
    other_kind: Tensor
    there: Tensor


def learnt(pages: Sequence[Page], held: Held, steps: int = 4000, rate: float = 3e-4) -> Held:
    """Return the comparison after learning to speak for the right sign."""
    device = "cuda" if torch.cuda.is_available() else "cpu"
    rng = np.random.default_rng(0)
    torch.manual_seed(0)
    kinds = {k: n for n, k in enumerate(_kinds(held))}
    taken = _taken_for(pages)
    real = rows(pages, kinds, rng, device)
    made = rows([_made_up(page, taken, rng) for page in pages], kinds, rng, device)
    net = Comparing(held).to(device).train()
    slower = {"params": [net.spread, net.usual, net.weight], "lr": rate / 3}
    optimizer = torch.optim.AdamW([{"params": [net.turn]}, slower], lr=rate, weight_decay=0.0)
    course = torch.optim.lr_scheduler.OneCycleLR(optimizer, [rate, rate / 3], steps)
    for _ in range(steps):
        loss = torch.zeros((), device=device)
        for part in (real, made):
            at = torch.randint(0, len(part.lead), (_BATCH,), device=device)
            lead = part.lead[at].clamp(2 * _LEADS[0], _LEADS[1])
            loss = loss + fn.softplus(-lead - net(part, at)).mean()
        optimizer.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimizer.step()
        course.step()
    found = {"turn": net.turn, "between": net.spread.exp(), "usual": net.usual}
    return {**held, **{name: part.detach().cpu().numpy() for name, part in found.items()}}


def _kinds(held: Held) -> list[Kind]:
    return list(zip(held["signs"].tolist(), held["levels"].tolist(), strict=True))


def _taken_for(pages: Sequence[Page]) -> dict[str, Counter[str]]:
    """Return how often each sign was held against each other one."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for page in pages:
        for doubt in page.doubts:
            a, b = doubt.right.kind[0], doubt.wrong.kind[0]
            found[a][b] += 1
            found[b][a] += 1
    return found


def _made_up(page: Page, taken: dict[str, Counter[str]], rng: np.random.Generator) -> Page:
    """Return a page whose sure signs are held against what they are often taken for."""
    there = {sign.kind[0] for sign in page.signs}
    doubts = []
    for sign in page.signs:
        rivals = [other for other in taken.get(sign.kind[0], ()) if other in there]
        if rivals:
            odds = np.array([taken[sign.kind[0]][other] for other in rivals], float)
            rival = str(rng.choice(rivals, p=odds / odds.sum()))
            wrong = Sign(sign.line, sign.stream, sign.column, (rival, sign.kind[1]), sign.shape)
            doubts.append(Doubt(sign, wrong, float(rng.uniform(*_LEADS))))
    return Page(page.hand, page.signs, doubts)


def rows(
    pages: Sequence[Page], kinds: dict[Kind, int], rng: np.random.Generator, device: str
) -> Rows:
    """Return the doubts of pages that show both signs elsewhere."""
    lead, own, others = [], [], []
    for page in pages:
        by_sign: dict[str, list[Sign]] = defaultdict(list)
        for sign in page.signs:
            if sign.kind in kinds:
                by_sign[sign.kind[0]].append(sign)
        for doubt in page.doubts:
            both = doubt.right, doubt.wrong
            near = [[e for e in by_sign[s.kind[0]] if e.beside(s)] for s in both]
            if all(near) and all(s.kind in kinds for s in both):
                lead.append(doubt.lead)
                own.append(both)
                others.append([_some(each, rng) for each in near])
    size = len(own), 2, _EXAMPLES
    seen = len(own[0][0].shape)
    shapes, there = np.zeros((*size, seen), np.float16), np.zeros(size, bool)
    other_kind = np.zeros(size, np.int64)
    for i, pair in enumerate(others):
        for j, each in enumerate(pair):
            there[i, j, : len(each)] = True
            shapes[i, j, : len(each)] = [e.shape for e in each]
            other_kind[i, j, : len(each)] = [kinds[e.kind] for e in each]
    mine = np.array([[s.shape for s in pair] for pair in own])
    kind = np.array([[kinds[s.kind] for s in pair] for pair in own])
    parts = np.array(lead, np.float32), mine, kind, shapes, other_kind, there
    return Rows(*(torch.from_numpy(part).to(device) for part in parts))


def _some(signs: list[Sign], rng: np.random.Generator) -> list[Sign]:
    if len(signs) <= _EXAMPLES:
        return signs
    return [signs[k] for k in rng.choice(len(signs), _EXAMPLES, replace=False)]
