"""A second pen for statics by hand: `check`, `solve` and `read`; loaded on first use."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from verifier.pipeline import check, read, solve

__version__ = "0.1.0"
__all__ = ["__version__", "check", "read", "solve"]


def __getattr__(name: str) -> Any:
    if name in ("check", "read", "solve"):
        from verifier import pipeline

        return getattr(pipeline, name)
    raise AttributeError(f"module 'verifier' has no attribute {name!r}")
