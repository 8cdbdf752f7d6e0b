"""What a trial supports, and no more: records to tables, tables to a Finding, Finding to sentences.

    of_trial.reckon(book, trial_id) -> TrialFinding         a notebook or its snapshot; for a worker
    of_trial.reckon_trial(records) -> TrialFinding          the records of one trial
    snapshot.records_of(book, trial_id) -> TrialRecords     all of one trial, unmoved by steps
    tables.tables_of(records) -> tuple[Table, ...]          one tidy table an outcome; `.frame()`
    tidy.data_csv(records) -> str                           every number as one CSV table

    judging.judge(table, question) -> Finding               a frame or columns, and AnalysisQuestion
    judging.judge_family(deciding, others) -> Family        one decides, the others by Holm
    wording.whole_headline, headline, holds_for, ruled_out, cost, short_form, other_verdict ...

    judging_several.judge_several(deciding, plan, others) -> SeveralFinding   three or more
    contrasts.method_plan(records, letters) -> MethodPlan   pairs, crossed or ordered
    wording_several.whole_headline, holds_for, short_form, claim_name, claim_verdict ...

    cautions.SOURCES                                        one line adds what came about otherwise

`trial_finding.TrialFinding` holds the family, the other answers (with and without what was set
aside), what is missing, cautions, and how outcomes and methods are called (`names_of`). `finding`
and `phrases` need the standard library alone; the engine is loaded when something is reckoned.
"""
