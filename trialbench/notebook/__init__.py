"""The open notebook, without Qt.

    from trialbench.notebook.notebook import Notebook
    with Notebook.open(path, clock=None) as book:       # made with its Cover when missing
        book.get(Trial, id)  book.find(Trial, id)  book.all(Piece, cook_id=...)  book.snapshot()
        number = book.apply(step, clears_draft=place)   # one transaction, one row of history
        book.revert(step)                               # undo; redo is apply(step) again
        end = book.subscribe(lambda kinds: ...)         # frozenset of kind names, after commit
        book.history(before=None, limit=50)             # HistoryRow: number, label, made_utc, ...
        book.restore(number)  book.back_to_opening()    # Restored(number, kept: messages)
        book.draft(place)  book.write_draft(place, text)  book.clear_draft(place)  book.drafts
        book.seal_key(sitting_id, key_bytes, step, passphrase=None)
        book.open_key(sitting_id, step_from, passphrase=None)    # step_from(key_bytes) -> Step
        book.key_for_server(sitting_id, passphrase)     # to plate; written in history
        book.curtain_keys(trial_id)                     # for `earlier_keys` of planning
        book.redact_taster(taster_id)  book.save_copy(path)  book.refresh()
        book.path  book.read_only  book.trouble  book.last_written  book.now()

Opening read only sets `trouble` (HeldElsewhere, NewerFile, FileTrouble); a damaged file raises
DamagedFile, then `trialbench.store.rescue.rescue(path, now_utc)` makes a new one.

`trialbench.notebook.views`: questions that take a notebook or a snapshot first, such as
`views.methods(book, trial_id)`, `views.resolved_stage(book, stage, method_id)`,
`views.loss(book, piece_id, from_id, to_id)`, `views.cards_in(book, sitting_id)`,
`views.page_states(book, trial_id)`, `views.OneTrial(book, trial_id)` (what planning reads).

`trialbench.notebook.acts`: one module a noun, pure functions that take the notebook first and
build a Step or raise Refused or Sealed: cover, question, outcomes, methods, stages, plan, loads,
checkpoints, cooking, tasters, sitting, scores, leaving_out, decision.
`acts.new_record(step, Kind)` is what a step adds.
"""
