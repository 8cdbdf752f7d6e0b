"""Small matrices are fastest on one thread: several wait for each other longer than they work."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

from threadpoolctl import ThreadpoolController


@cache
def _controller() -> ThreadpoolController:
    import scipy.linalg  # noqa: F401  (its library of matrix routines must be loaded to be found)

    return ThreadpoolController()


@contextmanager
def one_thread() -> Iterator[None]:
    """Matrix routines inside the block use one thread; what was set before comes back after it."""
    with _controller().limit(limits=1, user_api="blas"):
        yield
