"""The recipe note of a trial on paper, as a web page, as text, and its data.

    recipe_note(records, found) -> RecipeNote           report.note: one value for every form
    report_bytes(records, ".md" | ".html" | ".pdf" | ".csv" | ".json", found=None) -> bytes
    write_report(book, trial, target) -> Path           report.writing
    paper_bytes(records, Wanted("plan", "a4")) -> bytes  report.papers.making: what is pinned to
                                                        the wall or laid on the table

`records` is a findings.snapshot.TrialRecords, `found` what findings.of_trial reckoned from it.
`report.reckoned.reckoned(records, found)` gives the sections of "How it was reckoned".
"""
