"""Papers read back: their text, the inks and curves drawn on them, their metadata."""

from __future__ import annotations

import io
import re
from functools import cache

from pypdf import PdfReader

from tests.examples import turkey
from trialbench.figures.look import colours
from trialbench.notebook import views
from trialbench.report.papers.making import PAPERS, Wanted, paper_bytes

OF_TRIAL = [name for name, kind in PAPERS.items() if kind.of == "trial"]


@cache
def records_of_example(example=turkey):
    return example.make().records()


def made(records, name, size="a4", piece_of=None, sitting=0) -> PdfReader:
    sitting_id = views.sittings(records, records.trial.id)[sitting].id
    wanted = Wanted(name, size, "" if name in OF_TRIAL else sitting_id, piece_of)
    return PdfReader(io.BytesIO(paper_bytes(records, wanted)))


def text_of(reader) -> str:
    pages = [page.extract_text() for page in reader.pages]
    return re.sub(r"[\s\u00a0\u2009\u202f\u200b]+", " ", " ".join(pages))


def inks(reader) -> set[tuple[float, ...]]:
    """Every triple of numbers that sets a colour, of pages and of the pictures in them."""
    found = set()
    for stream in _streams(reader):
        for three in re.findall(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG|sc|SC|scn|SCN)\b", stream):
            found.add(tuple(round(float(part), 2) for part in three))
    return found


def _streams(reader):
    for page in reader.pages:
        yield page.get_contents().get_data()
        yield from pictures(page.get("/Resources", {}))


def pictures(resources):
    for one in (resources.get_object().get("/XObject") or {}).values():
        held = one.get_object()
        yield held.get_data()
        yield from pictures(held.get("/Resources", {}) or {})


def inks_of_methods() -> set[tuple[float, ...]]:
    look = colours("paper")
    hexes = [ink for _, ink in (*look.methods, *look.tints)]
    return {tuple(round(int(ink[at : at + 2], 16) / 255, 2) for at in (1, 3, 5)) for ink in hexes}


def curves(reader) -> int:
    """How often a curve is drawn: the lid of A has one, tags, lines and ticks have none."""
    return sum(len(re.findall(rb"(?:-?[\d.]+ ){6}c\b", stream)) for stream in _streams(reader))


def xmp(reader) -> str:
    return reader.trailer["/Root"]["/Metadata"].get_data().decode()
