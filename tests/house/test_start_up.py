"""The window comes up without the engine, and the signal of this Qt does not end the process."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("numpy", "pandas", "scipy", "statsmodels", "matplotlib", "formulaic", "typst")

_IMPORT_ALL = """
import importlib, pkgutil, sys
import trialbench.cli
import trialbench.ui
for module in pkgutil.walk_packages(trialbench.ui.__path__, "trialbench.ui."):
    importlib.import_module(module.name)
print(" ".join(name for name in {heavy!r} if name in sys.modules))
"""

_EMIT = """
from PySide6.QtCore import QObject, Signal

class Bell(QObject):
    rung = Signal(object)

heard = []
bell = Bell()
bell.rung.connect(heard.append)
for number in range(5000):
    bell.rung.emit(number)
print(len(heard))
"""


def _run(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_command_line_and_window_do_not_import_the_engine():
    assert _run(_IMPORT_ALL.format(heavy=HEAVY)) == ""


def test_the_check_would_see_it():
    code = _IMPORT_ALL.format(heavy=HEAVY).replace("import trialbench.cli", "import scipy")
    assert _run(code).split() == ["numpy", "scipy"]


def test_a_signal_can_be_emitted_five_thousand_times():
    """PySide6 6.12.0 on Python 3.11 drops a reference to True on every emit and aborts."""
    assert _run(_EMIT) == "5000"
