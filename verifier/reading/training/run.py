"""One training run: on one device or several, against the clock, with checkpoints."""

import math
import os
import time
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path

import torch
from torch import Tensor
from torch import distributed as dist
from torch.nn import functional as fn

from verifier.reading.training.camera import Camera
from verifier.reading.training.compose import papers
from verifier.reading.training.decoder import before_of
from verifier.reading.training.feed import Batch, Feed, composed, load_words
from verifier.reading.training.library import Library
from verifier.reading.training.measure import greedy, token_errors
from verifier.reading.training.network import Reader
from verifier.reading.training.steps import AGREED, VIEWS, Steps, Two
from verifier.reading.training.unfold import unfolded

PEAK = 1.3e-3


@dataclass
class Plan:
    """What a run is given: `minutes` is the whole training's length, earlier runs included.

    `begin` is a file of averaged weights, or a shipped network, to begin from with a clock of its
    own; `uses` says how often a composed line may be photographed.
    """

    data: Path
    out: Path
    minutes: float
    stop_after: float
    workers: int
    seed: int
    begin: Path | None = None
    peak: float = PEAK
    uses: int = 1


@dataclass
class State:
    """What a checkpoint keeps."""

    reader: Reader
    mean: Reader
    optimizer: torch.optim.Optimizer
    seconds: float = 0.0
    steps: int = 0
    lines: int = 0


def loss_of(scores: Two, batch: Batch) -> Tensor:
    """Return the mean CTC loss of both streams, and how far the views of a line say otherwise."""
    total = scores[0].new_zeros((), dtype=torch.float32)
    for scored, target, lengths in (
        (scores[0], batch.upper, batch.upper_lengths),
        (scores[1], batch.lower, batch.lower_lengths),
    ):
        b, t, _ = scored.shape
        logs = fn.log_softmax(scored.float(), dim=2)
        steps = torch.full((b,), t, dtype=torch.long)
        loss = fn.ctc_loss(
            logs.transpose(0, 1), target.repeat(VIEWS), steps, lengths.repeat(VIEWS),
            reduction="none", zero_infinity=True,
        )  # fmt: skip
        total = total + (loss / 20).mean() + AGREED / 20 * _apart(logs)
    return total


def _apart(logs: Tensor) -> Tensor:
    """Return how far two views of each line are apart in the log chances (2 B, T, tokens)."""
    other = logs.detach().roll(len(logs) // 2, 0)
    return (other.exp() * (other - logs)).sum(dim=(1, 2)).mean()


def _rate(progress: float, steps: int, peak: float) -> float:
    warm = min(1.0, steps / 400)
    return peak * warm * max(0.002, 0.5 * (1 + math.cos(math.pi * min(1.0, progress))))


def train(rank: int, ranks: int, plan: Plan) -> None:
    """Train until the plan's time is over; rank 0 measures and writes checkpoints."""
    library = Library(plan.data / "library.npz")
    words = load_words(plan.data, "train")
    seen_before = plan.out / "checkpoint.pt"
    start = int(seen_before.stat().st_mtime) % 9973 if seen_before.exists() else 0
    feed = Feed(library, words, plan.workers, plan.seed * 64 + rank + start * 131, plan.uses)
    kept = composed(library, load_words(plan.data, "val"), "val", 500, 9) if rank == 0 else []
    device = torch.device("cuda", rank) if torch.cuda.is_available() else torch.device("cpu")
    feed.device = device
    if device.type == "cuda":
        torch.cuda.set_device(device)
        torch.backends.cudnn.benchmark = True
        torch.set_num_threads(2)
    torch.manual_seed(plan.seed * 31 + rank)
    camera = Camera(torch.from_numpy(papers(plan.data)).float().to(device) / 255, rank + start)
    pictures = [(Camera.photograph(camera, b.ink.to(device).float() / 255), b) for b in kept]
    state = _begin(plan, device)
    if plan.begin is not None and plan.begin.suffix == ".onnx" and state.steps == 0:
        _unfold(state, plan.begin, camera, composed(library, words, "train", 400, plan.seed))
    steps = Steps(state.reader.train(), camera, loss_of, state.steps)
    if device.type == "cuda":
        _record(steps, rank)
    if ranks > 1:
        os.environ.setdefault("MASTER_ADDR", "127.0.0.1")
        os.environ.setdefault("MASTER_PORT", "29511")
        dist.init_process_group("nccl", rank=rank, world_size=ranks, device_id=device)
        for held in (state.reader, state.mean):  # each device unfolds by other pictures
            for tensor in held.state_dict().values():
                dist.broadcast(tensor, 0)
    try:
        _loop(state, feed, steps, plan, rank, ranks, device, pictures)
    finally:
        feed.close()
        if ranks > 1:
            dist.destroy_process_group()


def _record(steps: Steps, rank: int) -> None:
    """Record the step's graphs; where the device cannot, say so and go on without."""
    start = time.monotonic()
    try:
        steps.record()
        if rank == 0:
            print(f"graphs recorded in {time.monotonic() - start:.0f} s", flush=True)  # noqa: T201
    except RuntimeError as error:
        steps.recorded.clear()
        print(f"no graphs: {error}", flush=True)  # noqa: T201


def _begin(plan: Plan, device: torch.device) -> State:
    reader = Reader().to(device).to(memory_format=torch.channels_last)
    mean = deepcopy(reader).eval()
    fused = device.type == "cuda"
    optimizer = torch.optim.AdamW(
        _groups(reader), lr=PEAK, betas=(0.9, 0.98), weight_decay=0.03, fused=fused
    )
    state = State(reader, mean, optimizer)
    path = plan.out / "checkpoint.pt"
    if not path.exists():
        path = plan.out / "mean-half.pt"
    fresh = not path.exists()
    if not fresh or (plan.begin is not None and plan.begin.suffix != ".onnx"):
        held = torch.load(plan.begin if fresh else path, map_location=device, weights_only=True)
        reader.load_state_dict(held.get("reader", held["mean"]) if not fresh else held["mean"])
        mean.load_state_dict(held["mean"])
        if fresh:
            return state
        if "optimizer" in held:
            optimizer.load_state_dict(held["optimizer"])
        state.seconds, state.steps, state.lines = held["seconds"], held["steps"], held["lines"]
    return state


def _unfold(state: State, path: Path, camera: Camera, batches: list[Batch]) -> None:
    """Begin from a shipped network, whose normalisation some photographed lines bring back."""
    pictures = [camera.photograph(b.ink.to(camera.device).float() / 255) for b in batches]
    held = unfolded(path, pictures).state_dict()
    state.reader.load_state_dict(held)
    state.mean.load_state_dict(held)


def _groups(reader: Reader) -> list[dict[str, object]]:
    """Return the parameters in groups: a new decoder learns at twice the rate."""
    late = list(reader.decoder.parameters())
    apart = {id(p) for p in late}
    early = [p for p in reader.parameters() if id(p) not in apart]
    out: list[dict[str, object]] = []
    for part, times in ((early, 1.0), (late, 2.0)):
        out.append({"params": [p for p in part if p.dim() > 1], "times": times})
        light = [p for p in part if p.dim() <= 1]
        out.append({"params": light, "times": times, "weight_decay": 0.0})
    return out


def _loop(
    state: State,
    feed: Feed,
    steps: Steps,
    plan: Plan,
    rank: int,
    ranks: int,
    device: torch.device,
    pictures: list[tuple[Tensor, Batch]],
) -> None:
    averaged = _floats(state.mean), _floats(state.reader)
    begun = time.monotonic()
    before, told, waited = state.seconds, 0.0, 0.0
    sum_loss, since, lines_since = torch.zeros((), device=device), 0, 0
    state.reader.train()
    mark = time.monotonic()
    for batch in feed:
        waited += time.monotonic() - mark
        loss = steps(batch)
        _tamed(steps.flat, ranks)
        state.seconds = before + time.monotonic() - begun
        rate = _rate(state.seconds / (plan.minutes * 60), state.steps, plan.peak)
        for group in state.optimizer.param_groups:
            group["lr"] = rate * group["times"]
        state.optimizer.step()
        keep = min(0.9993, (1 + state.steps) / (20 + state.steps))
        torch._foreach_lerp_(*averaged, 1 - keep)
        state.steps += 1
        state.lines += VIEWS * len(batch.ink) * ranks
        sum_loss += loss.detach()
        since, lines_since = since + 1, lines_since + VIEWS * len(batch.ink) * ranks
        over = state.seconds - before > plan.stop_after * 60 or state.seconds > plan.minutes * 60
        if ranks > 1 and state.steps % 10 == 0:
            flag = torch.tensor([float(over)], device=device)
            dist.all_reduce(flag)
            over = bool(flag.item() > 0)
        elif ranks > 1:
            over = False
        if rank == 0 and (state.seconds - told > 45 or over):
            span = state.seconds - (told or before)
            figures = evaluate(state.mean, pictures)
            told_loss = float(steps.told) / since
            steps.told.zero_()
            print(  # noqa: T201
                f"{state.seconds:6.0f} s  {state.steps:6d} steps  "
                f"{state.lines / 1e6:6.2f} M lines  "
                f"{lines_since / max(span, 1):5.0f} lines/s  waited {waited:4.0f} s  "
                f"composed {feed.fresh * ranks / 1e6:.2f} M  "
                f"loss {float(sum_loss) / since:.4f}  told {told_loss:.3f}  rate {rate:.1e}  "
                f"held out: token {figures[0]:.2%} line {figures[1]:.2%} "
                f"told line {figures[2]:.2%}",
                flush=True,
            )
            told, since, lines_since, waited = state.seconds, 0, 0, 0.0
            sum_loss.zero_()
            save(state, plan.out)
        if over:
            break
        mark = time.monotonic()


def _tamed(flat: Tensor, ranks: int) -> None:
    """Average a gradient over the devices, take out what is no number, clip its length to 1."""
    torch.nan_to_num_(flat, nan=0.0, posinf=0.0, neginf=0.0)
    if ranks > 1:
        dist.all_reduce(flat)
        flat /= ranks
    flat *= (1.0 / (flat.norm() + 1e-6)).clamp(max=1.0)


def _floats(reader: Reader) -> list[Tensor]:
    return [t for t in reader.state_dict().values() if t.is_floating_point()]


@torch.no_grad()
def evaluate(reader: Reader, pictures: list[tuple[Tensor, Batch]]) -> tuple[float, float, float]:
    """Return the token error and the share of lines read without any, best path only.

    The third figure is the share of lines that the decoder alone would say right.
    """
    wrong = total = right = lines = told = 0
    reader.eval()
    for picture, batch in pictures:
        with torch.autocast(picture.device.type, torch.bfloat16):
            *scores, columns = reader(picture[:, None])
            rows = batch.rows.to(picture.device)
            best = reader.decoder(columns, before_of(rows)).argmax(dim=2)
        told += int(((best == rows) | (rows < 0)).all(dim=1).sum())
        read = [greedy(s) for s in scores]
        errors = [
            token_errors(read[0], batch.upper, batch.upper_lengths),
            token_errors(read[1], batch.lower, batch.lower_lengths),
        ]
        for up, low in zip(*errors, strict=True):
            wrong += up[0] + low[0]
            total += up[1] + low[1]
            right += up[0] + low[0] == 0
            lines += 1
    return wrong / max(total, 1), right / max(lines, 1), told / max(lines, 1)


def save(state: State, out: Path) -> None:
    """Write the checkpoint, whole or not at all."""
    held = {
        "reader": state.reader.state_dict(),
        "mean": state.mean.state_dict(),
        "optimizer": state.optimizer.state_dict(),
        "seconds": state.seconds,
        "steps": state.steps,
        "lines": state.lines,
    }
    out.mkdir(parents=True, exist_ok=True)
    torch.save(held, out / "checkpoint.tmp")
    (out / "checkpoint.tmp").replace(out / "checkpoint.pt")
    half = {k: v.half() if v.is_floating_point() else v for k, v in state.mean.state_dict().items()}
    kept = {"mean": half, "seconds": state.seconds, "steps": state.steps, "lines": state.lines}
    torch.save(kept, out / "mean-half.tmp")
    (out / "mean-half.tmp").replace(out / "mean-half.pt")
