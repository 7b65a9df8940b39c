"""Free bodies, their equilibrium sums, and the independent solution."""

from verifier.statics.actions import Action, FreeBody
from verifier.statics.answers import answers
from verifier.statics.equations import equation, moment
from verifier.statics.freebodies import FreeBodies
from verifier.statics.solution import NoSolution, Solution, Step
from verifier.statics.solving import solve
from verifier.statics.symmetry import is_symmetric

__all__ = [
    "Action",
    "FreeBodies",
    "FreeBody",
    "NoSolution",
    "Solution",
    "Step",
    "answers",
    "equation",
    "is_symmetric",
    "moment",
    "solve",
]
