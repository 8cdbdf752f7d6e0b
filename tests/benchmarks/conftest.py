"""Figures of speed: measured and judged by `python -m tests.benchmarks`, tried out elsewhere.

A benchmark asks for two fixtures: `repeats`, how often to measure (7, or 1 in an ordinary run of
the tests, where the machine may be busy with anything), and `figure`, which keeps a value for the
table and judges it against its limit:

    figure("start against a bare window", ratio, "times", limit=1.6)
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest


@dataclass(frozen=True)
class Figure:
    """One line of the table."""

    name: str
    value: float
    unit: str
    limit: float | None

    @property
    def kept(self) -> bool:
        """Whether the value is within its limit."""
        return self.limit is None or self.value <= self.limit

    def __str__(self) -> str:
        limit = "" if self.limit is None else f"at most {self.limit:g}"
        mark = "" if self.kept else "  over"
        return f"{self.name:<58} {self.value:>10.4g} {self.unit:<9} {limit}{mark}"


_FIGURES = pytest.StashKey[list[Figure]]()


def _measuring(config: pytest.Config) -> bool:
    return bool(config.getoption("benchmark_enable", default=False))


@pytest.fixture
def repeats(pytestconfig) -> int:
    """How often to measure: 7 when figures are wanted, else 1."""
    return 7 if _measuring(pytestconfig) else 1


@pytest.fixture
def figure(pytestconfig):
    """Keep a figure for the table; over its limit it fails the test when figures are wanted."""

    def keep(name: str, value: float, unit: str = "", *, limit: float | None = None) -> None:
        line = Figure(name, value, unit, limit)
        pytestconfig.stash.setdefault(_FIGURES, []).append(line)
        if _measuring(pytestconfig):
            assert line.kept, str(line)

    return keep


def pytest_terminal_summary(terminalreporter, config):
    """The table, after the tests."""
    lines = config.stash.get(_FIGURES, [])
    if lines and _measuring(config):
        terminalreporter.write_sep("-", "figures")
        for line in lines:
            terminalreporter.write_line(str(line))
