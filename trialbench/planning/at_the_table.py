"""How samples come to the table: hot food a product a round, and how many for one taster."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.planning.of_trial import OfTrial, methods_of, stages_of
from trialbench.planning.orders import ROUNDS_NOTE
from trialbench.planning.some_orders import samples_each
from trialbench.planning.tasting_margin import USUAL_SAMPLES

HOT_C = 45.0
"""From this temperature on food comes to the table hot."""


def warmth_matters(records: OfTrial) -> bool:
    """Whether what is served is hot: the last stages heat it and nothing chills it afterwards."""
    if records.trial.serving == "rounds":
        return True
    hot = False
    for stage in stages_of(records):
        temps = (stage.set_temp_c, stage.end_core_c)
        if any(t is not None and t >= HOT_C for t in temps):
            hot = True
        elif stage.stage_kind == "chill":
            hot = False
    return hot


def samples_planned(records: OfTrial) -> int:
    """Samples of one sitting for a taster who gets them all."""
    trial = records.trial
    return len(methods_of(records)) * trial.pieces_each * trial.servings


def many_samples(records: OfTrial) -> bool:
    """Whether there are more than usual, or a limit is written already."""
    return records.trial.most_samples is not None or samples_planned(records) > USUAL_SAMPLES


def notes_at_the_table(records: OfTrial) -> Iterator[MarginNote]:
    """Notes beside "figures": the honest word on rounds, and too many samples."""
    trial = records.trial
    if trial.serving == "rounds":
        yield _rounds_note(trial)
    if samples_planned(records) > USUAL_SAMPLES:
        yield _many_note(records)


def _rounds_note(trial: Trial) -> MarginNote:
    says: list[Message] = [ROUNDS_NOTE]
    if (trial.planned_cooks or 0) < 2:
        says.append(msg("With one cook day it never is: what is found may be the order."))
    else:
        says.append(msg("The order is drawn, and turned round from one cook day to the next."))
    verb = NoteVerb(msg("An order for each taster"), "set_plan", (trial.id, "serving", "all"))
    dear = 70 if (trial.planned_cooks or 0) < 2 else 40
    return MarginNote("figures", "shows", msg("One product a round"), tuple(says), (verb,),
                      dear=dear)  # fmt: skip


def _many_note(records: OfTrial) -> MarginNote:
    trial, every = records.trial, samples_planned(records)
    source = msg("About six samples a sitting: common practice for cooked meat.")
    if trial.serving == "rounds":
        label = msg("{count} samples each: a long table", count=every)
        says = msg("Mouths tire. With one product a round everybody tastes all of them.")
        return MarginNote("figures", "shows", label, (says,), source=source, dear=28)
    if trial.most_samples is None or trial.most_samples >= every:
        label = msg("{count} samples each: a long table", count=every)
        says = msg("Mouths tire. Fewer for each, dealt so that every method meets every taster or "
                   "every pair comes equally often, still counts in full.")  # fmt: skip
        most = str(max(USUAL_SAMPLES, 2 * trial.servings))
        verb = NoteVerb(msg("At most {count} for each", count=most), "set_plan",
                        (trial.id, "most_samples", most))  # fmt: skip
        return MarginNote("figures", "shows", label, (says,), (verb,), source, dear=38)
    methods = len(methods_of(records))
    groups = [str(n % methods) for n in range(methods * trial.pieces_each)]
    each = samples_each(groups, max(trial.most_samples // trial.servings, 2))
    label = msg("Every taster gets {count} of {all}", count=each * trial.servings, all=every)
    says = (
        msg("Each taster gets equally many of every method.")
        if each >= methods
        else msg("Not every taster compares every method: each pair has fewer tasters.")
    )
    return MarginNote("figures", "shows", label, (says,), source=source, dear=30)
