"""Acts: pure functions that read a notebook and build one Step, or raise Refused or Sealed.

One module a noun: cover, question, outcomes, methods, stages, plan, loads, checkpoints, cooking,
tasters, sitting, scores, leaving_out, decision, additions, amounts, feel. Nothing is written until
`Notebook.apply(step)`.

    cover.name_notebook(book, typed)
    cover.show_in(book, field, unit)
    question.begin_trial(book, food='', usual='', idea='', *, chapter='', question='better')
    question.set_words(book, trial_id, field, typed)
    question.set_came_out(book, trial_id, typed)
    question.choose_question(book, trial_id, question, easier_id=None)
    question.set_matters(book, trial_id, typed)
    outcomes.add_attribute(book, trial_id, name, scale=None)
    outcomes.add_measured(book, trial_id, source, from_checkpoint_id=None, to_checkpoint_id=None)
    outcomes.set_outcome(book, outcome_id, field, typed)
    outcomes.move_outcome(book, outcome_id, position)
    outcomes.remove_outcome(book, outcome_id)
    outcomes.set_decides(book, outcome_id)
    methods.name_method(book, method_id, typed)
    methods.set_origin(book, method_id, origin, note='')
    methods.add_method(book, trial_id, name)
    methods.remove_method(book, method_id)
    stages.add_stage(book, trial_id, stage_kind, *, position=None, method_id=None)
    stages.move_stage(book, stage_id, position)
    stages.change_kind(book, stage_id, stage_kind)
    stages.remove_stage(book, stage_id)
    stages.set_value(book, stage_id, field, typed, method_id=None)
    stages.part_line(book, stage_id, field)
    stages.join_line(book, stage_id, field, method_id)
    stages.give_stage(book, stage_id, method_id)
    stages.set_role(book, stage_id, field, role)
    additions.add_addition(book, stage_id, typed, role='')
    additions.set_addition(book, stage_id, position, typed, method_id=None)
    additions.set_addition_role(book, stage_id, position, role)
    additions.part_addition(book, stage_id, position)
    additions.join_addition(book, stage_id, position, method_id)
    additions.remove_addition(book, stage_id, position)
    feel.begin_card(book)
    feel.set_feel(book, feel_id, field, typed)
    amounts.set_amount(book, piece_id, key, typed)
    amounts.set_amount_missing(book, piece_id, key, why)
    amounts.clear_amount(book, piece_id, key)
    plan.set_plan(book, trial_id, field, typed)
    plan.lay_out_cooks(book, trial_id)
    plan.add_cook(book, trial_id)
    plan.set_cook(book, cook_id, field, typed)
    plan.set_source(book, pair_id, typed)
    plan.set_piece(book, piece_id, field, typed)
    loads.make_load(book, cook_id, piece_ids, name, vessel='')
    loads.join_load(book, piece_id, load_id)
    loads.leave_load(book, piece_id)
    loads.name_load(book, load_id, name, vessel='')
    loads.remove_load(book, load_id)
    checkpoints.lay_out_checkpoints(book, trial_id)
    checkpoints.add_checkpoint(book, trial_id, name, position=None)
    checkpoints.name_checkpoint(book, checkpoint_id, name)
    checkpoints.remove_checkpoint(book, checkpoint_id)
    cooking.set_mass(book, piece_id, checkpoint_id, typed, unit=None)
    cooking.set_core_temp(book, piece_id, checkpoint_id, typed)
    cooking.set_missing(book, piece_id, checkpoint_id, why)
    cooking.clear_measurement(book, piece_id, checkpoint_id)
    tasters.add_taster(book, alias='', avoids='')
    tasters.add_tasters(book, count)
    tasters.name_taster(book, taster_id, alias)
    tasters.set_avoids(book, taster_id, typed)
    tasters.remove_taster(book, taster_id)
    sitting.make_sitting(book, cook_id, taster_ids=None)
    sitting.remove_sitting(book, sitting_id)
    sitting.seat_taster(book, sitting_id, taster_id)
    sitting.unseat_taster(book, seat_id)
    sitting.leave(book, seat_id, why)
    sitting.come_back(book, seat_id)
    sitting.set_sitting(book, sitting_id, field, typed)
    scores.set_score(book, sample_id, outcome_id, typed)
    scores.set_score_missing(book, sample_id, outcome_id, why)
    scores.clear_score(book, sample_id, outcome_id)
    leaving_out.leave_out(book, trial_id, subject, subject_id, why)
    leaving_out.change_reason(book, left_out_id, why)
    leaving_out.take_back_in(book, left_out_id)
    decision.decide(book, trial_id, choice, reason='')
    decision.hand_on(book, trial_id, form, headline, finding_json)
"""

from __future__ import annotations

from typing import TypeVar

from trialbench.model.records import Record
from trialbench.model.steps import Step

R = TypeVar("R", bound=Record)


def new_record(step: Step, kind: type[R]) -> R:
    """The first record of a kind that a step adds. Raises LookupError when it adds none."""
    for change in step.changes:
        if change.before is None and isinstance(change.after, kind):
            return change.after
    raise LookupError(f"the step adds no {kind.kind}")
