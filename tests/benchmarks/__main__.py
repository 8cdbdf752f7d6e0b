"""`python -m tests.benchmarks`: measure every figure of speed, judge it and print one table."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

if __name__ == "__main__":
    folder = str(Path(__file__).resolve().parent)
    options = ["--benchmark-enable", "-p", "no:cacheprovider", "--timeout=1800"]
    sys.exit(pytest.main([*options, *(sys.argv[1:] or [folder])]))
