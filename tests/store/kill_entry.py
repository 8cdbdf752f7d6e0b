"""Entry that is killed: a child writes and says what is written, its parent kills it.

As a child (with a file name) it begins a trial and types weights and scores without end, saying
each write on its output after it returned. `python -m tests.store.kill_entry 100` kills a hundred
of them at moments by lot and looks at what is left.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from trialbench.model.records import Record, Trial
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, new_record, plan, question
from trialbench.notebook.notebook import Notebook
from trialbench.store import history_table

LOT_NUMBER = 418


def _say(*words: object) -> None:
    sys.stdout.write(" ".join(str(word) for word in words) + "\n")
    sys.stdout.flush()


def type_on_and_on(path: Path) -> None:
    """Write until killed. Says "draft PLACE TEXT" and "step NUMBER PIECE CHECKPOINT GRAMS"."""
    with Notebook.open(path) as book:
        trial_id = _trial(book)
        pieces = views.all_pieces(book, trial_id)
        raw = views.checkpoints(book, trial_id)[0]
        turn = book.history(limit=1)[0].number
        while True:
            piece = pieces[turn % len(pieces)]
            place, grams = f"mass:{piece.id}:{raw.id}", str(1000 + turn)
            for end in range(1, len(grams) + 1):
                book.write_draft(place, grams[:end])
                _say("draft", place, grams[:end])
            step = cooking.set_mass(book, piece.id, raw.id, grams)
            number = book.apply(step, clears_draft=place)
            _say("step", number, piece.id, raw.id, grams)
            turn += 1


def _trial(book: Notebook) -> str:
    known = views.trials(book)
    if known:
        return known[0].id
    begun = question.begin_trial(book, "pork shoulder", "dry", "in its juices")
    number = book.apply(begun)
    trial_id = new_record(begun, Trial).id
    book.apply(plan.set_plan(book, trial_id, "planned_cooks", "4"))
    _say("step", number)
    return trial_id


@dataclass
class Said:
    """What a killed child had said."""

    steps: int = 0
    weights: dict[tuple[str, str], str] | None = None
    draft: tuple[str, str] | None = None


def _heard(lines: list[str]) -> Said:
    said = Said(weights={})
    for line in lines:
        kind, *words = line.split()
        if kind == "draft":
            said.draft = (words[0], words[1])
        else:
            said.steps, said.draft = int(words[0]), None
            if len(words) > 1 and said.weights is not None:
                said.weights[words[1], words[2]] = words[3]
    return said


def kill_one(path: Path, lots: random.Random) -> Said:
    """Start a child, let it write a lot-drawn number of lines and a moment more, then kill it."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.store.kill_entry", str(path)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).resolve().parents[2],
    )
    assert child.stdout is not None
    lines = [child.stdout.readline() for _ in range(lots.randint(1, 60))]
    until = time.perf_counter() + lots.random() * 0.004
    while time.perf_counter() < until:
        pass
    child.kill()
    rest, _ = child.communicate()
    lines += rest.splitlines(keepends=True)
    return _heard([line for line in lines if line.endswith("\n")])


def lost(path: Path, said: Said) -> list[str]:
    """What the killed child had said and the file does not hold; opens the file to look."""
    missing = []
    with Notebook.open(path) as book:
        if book.read_only:
            missing.append(f"reads only: {book.trouble}")
        newest = book.history(limit=1)[0].number if book.history(limit=1) else 0
        if newest < said.steps:
            missing.append(f"step {said.steps}, history ends at {newest}")
        for (piece_id, checkpoint_id), grams in (said.weights or {}).items():
            found = views.measurement(book, piece_id, checkpoint_id)
            if found is None or (found.mass_g or 0) < float(grams):
                missing.append(f"{grams} g of {piece_id}")
        if said.draft is not None and not _draft_is_kept(book, *said.draft):
            missing.append(f"draft {said.draft}")
        missing += _torn(book)
    return missing


def _draft_is_kept(book: Notebook, place: str, text: str) -> bool:
    """The draft, a longer one, or the weight it became: one more write may have gone through."""
    if (book.draft(place) or "").startswith(text):
        return True
    _, piece_id, checkpoint_id = place.split(":")
    found = views.measurement(book, piece_id, checkpoint_id)
    return found is not None and found.typed.startswith(text)


def _torn(book: Notebook) -> list[str]:
    """Whether history, told from its beginning, does not lead to what is there."""
    told: dict[str, Record] = {}
    for _, _, changes in history_table.changes_after(book._file.db, 0):
        for change in changes:
            told.pop(change.record.id, None)
            if change.after is not None:
                told[change.record.id] = change.after
    same = frozenset(told.values()) == book.snapshot().as_set()
    return [] if same else ["history and records differ"]


def kill_many(count: int, folder: Path, lot_number: int = LOT_NUMBER) -> list[str]:
    """Kill `count` children one after the other on one file: what they had said and is lost."""
    lots, path = random.Random(lot_number), folder / "kitchen.trialbench"
    missing = []
    for _ in range(count):
        missing += lost(path, kill_one(path, lots))
    return missing


def main(words: list[str]) -> int:
    """A number: kill so many. A path: be the child."""
    if not words[0].isdigit():
        type_on_and_on(Path(words[0]))
        return 0
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        missing = kill_many(int(words[0]), Path(folder))
        took = time.perf_counter() - begun
        with Notebook.open(Path(folder) / "kitchen.trialbench") as book:
            steps = book.history(limit=1)[0].number
    _say(f"{words[0]} kills, {steps} steps, {len(missing)} lost, {took:.0f} s")
    for line in missing:
        _say(line)
    return 1 if missing else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
