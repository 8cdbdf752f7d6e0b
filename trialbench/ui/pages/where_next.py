"""On which page a trial is opened from the contents: where there is something to do."""

from __future__ import annotations

from typing import Any

from trialbench.notebook.views import has_finding, page_states


def page_to_open(book: Any, trial_id: str) -> str:
    """The key of the page: findings once they are in, else the first page that is not complete."""
    if has_finding(book, trial_id):
        return "findings"
    for state in page_states(book, trial_id):
        if state.stitch not in ("complete", "sealed"):
            return state.page
    return "question"
