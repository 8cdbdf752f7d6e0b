"""What is to be weighed onto each piece: salt, rub, brine, as grams from its trimmed weight."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.records import Addition, Amount, Checkpoint, Cook, Piece, Stage
from trialbench.model.words import FOR_THE_FIRE
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import kitchen, on_paper
from trialbench.notebook.views.additions import Slot, slots


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """One thing to be weighed onto the pieces of a trial: a stage's salt, or a line of additions.

    `key` names it: "<stage id>:salt", "<stage id>:<position>". `name` is what the first method that
    has it calls it, "" for salt.
    """

    stage: Stage
    role: str
    name: str = ""
    slot: Slot | None = None

    @property
    def key(self) -> str:
        """Its name within the trial."""
        return f"{self.stage.id}:{self.slot.position if self.slot else 'salt'}"


def to_weigh(book: Reads, trial_id: str) -> tuple[ToWeigh, ...]:
    """Everything with grams for each kilogram, in the order of the stages."""
    found: list[ToWeigh] = []
    for stage in on_paper.stages(book, trial_id):
        own = [m for m in on_paper.methods(book, trial_id) if stage.method_id in (None, m.id)]
        if any(on_paper.resolved_stage(book, stage, m.id).salt_g_per_kg for m in own):
            found.append(ToWeigh(stage, "salt"))
        for slot in slots(book, stage.id):
            rated = [r for r in slot.records if r.g_per_kg is not None]
            if rated and slot.role not in FOR_THE_FIRE:
                found.append(ToWeigh(stage, slot.role, rated[0].name, slot))
    return tuple(found)


def thing_to_weigh(book: Reads, trial_id: str, key: str) -> ToWeigh | None:
    """The thing of this key, None when it is no longer to be weighed."""
    return next((thing for thing in to_weigh(book, trial_id) if thing.key == key), None)


def rate_g_per_kg(book: Reads, thing: ToWeigh, piece: Piece) -> float | None:
    """Grams for each kilogram that a piece is to get; None where its method has none of it.

    A piece without a method has a rate where all methods have the same one.
    """
    methods = on_paper.methods(book, thing.stage.trial_id)
    wanted = [m.id for m in methods if piece.method_id in (None, m.id)]
    rates = {_rate(book, thing, method_id) for method_id in wanted}
    return rates.pop() if len(rates) == 1 else None


def _rate(book: Reads, thing: ToWeigh, method_id: str) -> float | None:
    if thing.stage.method_id not in (None, method_id):
        return None
    if thing.slot is None:
        return on_paper.resolved_stage(book, thing.stage, method_id).salt_g_per_kg
    addition = thing.slot.of(method_id)
    return addition.g_per_kg if addition else None


def salt_share(book: Reads, thing: ToWeigh, piece: Piece) -> float | None:
    """Which share of it is salt (0 to 1); 0 for none, None where that is not known (a brine)."""
    if thing.slot is None:
        return 1.0
    addition: Addition | None = thing.slot.of(piece.method_id or "")
    if addition is None or thing.role == "medium":
        return 0.0
    if thing.role == "brine":
        return None
    return (addition.salt_percent or 0.0) / 100


def trimmed_checkpoint(book: Reads, trial_id: str) -> Checkpoint | None:
    """The weighing that every rate counts on."""
    there = on_paper.checkpoints(book, trial_id)
    return next((c for c in there if c.checkpoint_kind == "trimmed"), None)


def trimmed_g(book: Reads, piece: Piece) -> float | None:
    """The trimmed weight of a piece."""
    checkpoint = trimmed_checkpoint(book, book.get(Cook, piece.cook_id).trial_id)
    return kitchen.mass_g(book, piece.id, checkpoint.id) if checkpoint else None


def target_g(book: Reads, thing: ToWeigh, piece: Piece) -> float | None:
    """Grams to be weighed onto a piece; None before its trimmed weight, or where it gets none."""
    rate, mass = rate_g_per_kg(book, thing, piece), trimmed_g(book, piece)
    return None if rate is None or mass is None else rate * mass / 1000


def is_amount_due(book: Reads, thing: ToWeigh, piece: Piece) -> bool:
    """Whether a piece is to get some now: its target is known, nothing is written, and it was not
    weighed after that stage yet.
    """
    if target_g(book, thing, piece) is None or amount(book, thing, piece.id) is not None:
        return False
    weighed = kitchen.measurements(book, piece.id)
    for checkpoint in on_paper.checkpoints(book, thing.stage.trial_id):
        stage = book.find(Stage, checkpoint.stage_id)
        later = stage is not None and stage.position >= thing.stage.position
        if (later or checkpoint.checkpoint_kind == "served") and checkpoint.id in weighed:
            return False
    return True


def amount(book: Reads, thing: ToWeigh, piece_id: str) -> Amount | None:
    """What was weighed onto a piece, or the record that says why it is missing."""
    there = [
        a for a in book.all(Amount, piece_id=piece_id)
        if a.stage_id == thing.stage.id and a.role == thing.role
    ]  # fmt: skip
    alike = [s for s in slots(book, thing.stage.id) if s.role == thing.role]
    if thing.slot is not None and len(alike) > 1:
        names = {record.name for record in thing.slot.records}
        there = [a for a in there if a.name in names]
    return there[0] if there else None
