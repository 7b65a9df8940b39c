"""One step of learning up to its gradients, on a GPU as recorded graphs, else plainly.

A step's thousands of small kernels cost more to launch than to run, so camera, network, decoder
and backward pass are recorded once for each width of lines and replayed; only the CTC loss, whose
lengths the processor must know, runs between them. Gradients lie end to end in one buffer.

Every line of a batch is photographed twice, and what the streams say of both views is drawn
together (Yao et al., 'CR-CTC: consistency regularization on CTC', 2024).
"""

from collections.abc import Callable
from dataclasses import dataclass

import torch
from torch import Tensor

from verifier.reading.hand_tokens import LONGEST
from verifier.reading.training.camera import Camera
from verifier.reading.training.decoder import cost_of
from verifier.reading.training.feed import PIXELS, WIDTHS, Batch
from verifier.reading.training.network import Reader

Two = tuple[Tensor, Tensor]
Loss = Callable[[Two, Batch], Tensor]
TOLD, RAMP = 0.4, 1500
VIEWS, AGREED = 2, 0.2


@dataclass
class Recorded:
    """A width's graphs and the tensors that they read and write."""

    ink: Tensor
    rows: Tensor
    scores: Two
    told: Tensor
    pulls: Two
    forward: torch.cuda.CUDAGraph
    backward: torch.cuda.CUDAGraph


class Steps:
    """Computes the gradients of batches into `flat`, which the parameters' gradients share.

    The decoder's loss is a share `TOLD` of the whole. A new decoder's pull on the encoder grows
    over its first `RAMP` steps, since at first it is noise.
    """

    def __init__(self, reader: Reader, camera: Camera, loss: Loss, steps: int = 0) -> None:
        self.reader, self.camera, self.loss, self.steps = reader, camera, loss, steps
        self.parameters = [p for p in reader.parameters() if p.requires_grad]
        count = sum(p.numel() for p in self.parameters)
        self.flat = torch.zeros(count, device=self.parameters[0].device)
        self.views: list[Tensor] = []
        at = 0
        for p in self.parameters:
            p.grad = torch.as_strided(self.flat, p.shape, p.stride(), at)
            self.views.append(p.grad)
            at += p.numel()
        self.recorded: dict[int, Recorded] = {}
        self.pull, self.told = torch.ones_like(self.flat[0]), torch.zeros_like(self.flat[0])

    def record(self) -> None:
        """Record the graphs of every width; the network's own figures stay as they are."""
        device = self.flat.device
        kept = {name: held.clone() for name, held in self.reader.state_dict().items()}
        pool = torch.cuda.graph_pool_handle()
        side = torch.cuda.Stream(device)
        for width in reversed(WIDTHS):
            count = PIXELS // width
            ink = torch.zeros(count, 80, width, dtype=torch.uint8, device=device)
            rows = torch.zeros(count, LONGEST, dtype=torch.long, device=device)
            side.wait_stream(torch.cuda.current_stream(device))
            with torch.cuda.stream(side):
                for _ in range(2):
                    scores = self._scores(ink, rows)
                    self._pulled(scores, tuple(torch.zeros_like(s) for s in scores))
                    del scores
            torch.cuda.current_stream(device).wait_stream(side)
            torch.cuda.synchronize(device)
            self.recorded[width] = self._recorded(ink, rows, pool)
        self.reader.load_state_dict(kept)

    def _recorded(self, ink: Tensor, rows: Tensor, pool: tuple[int, int]) -> Recorded:
        forward, backward = torch.cuda.CUDAGraph(), torch.cuda.CUDAGraph()
        forward.register_generator_state(self.camera.random)
        with torch.cuda.graph(forward, pool=pool, capture_error_mode="thread_local"):
            scores = self._scores(ink, rows)
        upper, lower, told = scores
        pulls = torch.zeros_like(upper), torch.zeros_like(lower)
        share = torch.full_like(told, TOLD / 20)
        with torch.cuda.graph(backward, pool=pool, capture_error_mode="thread_local"):
            self._pulled(scores, (*pulls, share))
        held = upper.detach(), lower.detach()
        return Recorded(ink, rows, held, told.detach(), pulls, forward, backward)

    def _scores(self, ink: Tensor, rows: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """Return both streams' scores, and what the lines' numbers cost the decoder."""
        picture = self.camera.photograph(ink.float() / 255, VIEWS)[:, None]
        with torch.autocast(ink.device.type, torch.bfloat16, cache_enabled=False):
            upper, lower, columns = self.reader(picture)
        columns = columns * self.pull + columns.detach() * (1 - self.pull)
        return upper, lower, cost_of(self.reader.decoder, columns, rows.repeat(VIEWS, 1))

    def __call__(self, batch: Batch) -> Tensor:
        """Fill `flat` with the gradient of a batch and return its loss."""
        self.steps += 1
        self.pull.fill_(min(1.0, self.steps / RAMP))
        held = self.recorded.get(batch.ink.shape[2])
        if held is None or batch.ink.shape != held.ink.shape:
            return self.plain(batch)
        held.ink.copy_(batch.ink)
        held.rows.fill_(-1)
        held.rows[:, : batch.rows.shape[1]].copy_(batch.rows)
        held.forward.replay()
        leaves = held.scores[0].detach(), held.scores[1].detach()
        for leaf in leaves:
            leaf.requires_grad_()
        loss = (1 - TOLD) * self.loss(leaves, batch)
        pulls = torch.autograd.grad(loss, leaves)
        for pull, static in zip(pulls, held.pulls, strict=True):
            static.copy_(pull)
        held.backward.replay()
        self.told += held.told
        return loss.detach() + TOLD / 20 * held.told

    def plain(self, batch: Batch) -> Tensor:
        """Do the same without graphs."""
        upper, lower, told = self._scores(batch.ink, batch.rows)
        loss = (1 - TOLD) * self.loss((upper, lower), batch) + TOLD / 20 * told
        self._pulled((loss,), (torch.ones_like(loss),))
        self.told += told.detach()
        return loss.detach()

    def _pulled(self, scores: tuple[Tensor, ...], pulls: tuple[Tensor, ...]) -> None:
        torch._foreach_copy_(self.views, torch.autograd.grad(scores, self.parameters, pulls))
