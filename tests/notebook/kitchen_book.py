"""Notebooks for tests: one trial of invented pork, as far as a test needs it."""

from dataclasses import replace
from datetime import UTC, datetime

from trialbench.model.message import msg
from trialbench.model.records import Method, Sample, Seal, Sitting, Trial, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook import views
from trialbench.notebook.acts import (
    checkpoints,
    new_record,
    outcomes,
    plan,
    question,
    sitting,
    stages,
    tasters,
)
from trialbench.notebook.clock import SteppingClock
from trialbench.notebook.notebook import Notebook

START = datetime(2026, 3, 7, 12, 0, tzinfo=UTC)


def opened(folder, name="kitchen.trialbench", **options):
    """A notebook with a clock that goes on by a second at each look."""
    clock = SteppingClock(START, offset_min=60)
    return Notebook.open(folder / name, clock, backups=folder / "backups", **options)


def begun(book, **words):
    """A trial: id."""
    step = question.begin_trial(
        book, words.get("food", "pork shoulder"), "held dry", "held in its juices"
    )
    book.apply(step)
    return new_record(step, Trial).id


def planned(book, *, cooks="2", each="1", paired="no"):
    """A trial with juiciness deciding, a parted hold, cook days and pieces with their methods."""
    trial_id = begun(book)
    book.apply(question.set_came_out(book, trial_id, "juicier"))
    book.apply(question.set_matters(book, trial_id, "0.8 points in 10"))
    book.apply(stages.add_stage(book, trial_id, "salt"))
    hold = stages.add_stage(book, trial_id, "hold")
    book.apply(hold)
    book.apply(stages.part_line(book, hold.changes[0].record.id, "medium"))
    for field, typed in (("pieces_each", each), ("paired", paired), ("planned_cooks", cooks)):
        book.apply(plan.set_plan(book, trial_id, field, typed))
    book.apply(checkpoints.lay_out_checkpoints(book, trial_id))
    methods = views.methods(book, trial_id)
    changes = [
        Change(piece, replace(piece, method_id=methods[n % 2].id))
        for n, piece in enumerate(views.all_pieces(book, trial_id))
    ]
    book.apply(Step(msg("Lots drawn"), tuple(changes)))
    return trial_id


def sealed_plan(book, trial_id):
    """Seal the plan."""
    seal = Seal(new_id(), trial_id, book.now().utc, 60, "{}", "f" * 64)
    book.apply(Step(msg("Plan sealed"), added(seal), barrier=True))


def seated(book, trial_id, count=2, number=1):
    """A sitting for a cook day: id."""
    if len(views.tasters(book)) < count:
        book.apply(tasters.add_tasters(book, count))
    cook = views.cooks(book, trial_id)[number - 1]
    step = sitting.make_sitting(book, cook.id)
    book.apply(step)
    return new_record(step, Sitting).id


KEY = b'{"lot_number":77}'


def sealed_key(book, sitting_id, passphrase=None):
    """Two samples for every taster of the sitting, under a sealed key."""
    import hashlib

    found = book.get(Sitting, sitting_id)
    pieces = views.pieces(book, found.cook_id)
    samples = [
        Sample(new_id(), sitting_id, seat.taster_id, n, f"{100 * seat.position + 10 + n}")
        for seat in views.seats(book, sitting_id)
        for n in range(1, len(pieces) + 1)
    ]
    shut = replace(
        found, key_state="sealed", key_fingerprint=hashlib.sha256(KEY).hexdigest(), sealed_utc="x"
    )
    step = Step(msg("Key sealed"), (Change(found, shut), *added(*samples)), barrier=True)
    book.seal_key(sitting_id, KEY, step, passphrase)
    return samples


def opened_key(book, sitting_id, passphrase=None):
    """Open it: each sample gets a piece in turn."""
    found = book.get(Sitting, sitting_id)
    pieces = views.pieces(book, found.cook_id)

    def step_from(key_bytes):
        assert key_bytes == KEY
        changes = [Change(found, replace(found, key_state="open", lot_number=77))]
        for sample in views.samples(book, sitting_id):
            piece = pieces[sample.position - 1]
            changes.append(Change(sample, replace(sample, piece_id=piece.id)))
        return Step(msg("Key opened"), tuple(changes), barrier=True)

    return book.open_key(sitting_id, step_from, passphrase)


def juiciness(book, trial_id):
    """The deciding outcome."""
    return views.deciding(book, trial_id)


def with_tenderness(book, trial_id):
    """One more attribute."""
    book.apply(outcomes.add_attribute(book, trial_id, "tenderness"))
    return views.attributes(book, trial_id)[-1]


def third_method(trial_id):
    """A method record that no step has written."""
    return Method(new_id(), trial_id, "C", "held in foil")
