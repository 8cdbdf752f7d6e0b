"""Typesetting: shipped templates and the shipped fonts alone; equal values give equal bytes.

A template reads `values.json` beside it. No date is written into the file.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from trialbench import paths
from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg

LOOK = "look.typ"
"""What every paper has in common: inks, fonts, heads, tables, signs of methods."""


class CannotTypeset(TrialbenchError):
    """The typesetter refused the template or its values."""


def typeset(
    template: str, values: Mapping[str, Any], pictures: Mapping[str, str] | None = None
) -> bytes:
    """A template of resources/report as the bytes of a PDF file.

    `pictures` are SVG texts by the file name under which the template finds them. Raises
    CannotTypeset.
    """
    import typst

    with TemporaryDirectory() as folder:
        place = Path(folder)
        for name in {template, LOOK}:
            shutil.copy(paths.resource("report", name), place / name)
        for name, svg in (pictures or {}).items():
            (place / name).write_text(svg, encoding="utf-8")
        text = json.dumps(values, ensure_ascii=False)
        (place / "values.json").write_text(text, encoding="utf-8")
        try:
            made = typst.compile(
                str(place / template),
                root=folder,
                font_paths=[str(paths.resource("fonts"))],
                ignore_system_fonts=True,
                format="pdf",
            )
        except (RuntimeError, typst.TypstError) as error:
            raise CannotTypeset(_cannot(error)) from error
    return bytes(made)


def _cannot(error: Exception) -> Message:
    return msg("This cannot be typeset: {why}.", why=str(error))
