"""On which page a trial is opened from the contents: where there is something to do."""

from __future__ import annotations

from typing import Any

from trialbench.notebook import views


def page_to_open(book: Any, trial_id: str) -> str:
    """The key of the page: findings once they are in; tasting and cooking while they go on; before
    the first weight the first page that is not complete, and Cook once the plan is sealed."""
    if views.has_finding(book, trial_id):
        return "findings"
    if any(sitting.key_state == "sealed" for sitting in views.sittings(book, trial_id)):
        return "tasting"
    begun = [cook for cook in views.cooks(book, trial_id) if views.cook_is_begun(book, cook)]
    if any(not views.cook_is_weighed(book, cook) for cook in begun):
        return "cook"
    if len(begun) > views.keys_open(book, trial_id) and views.attributes(book, trial_id):
        return "tasting"
    if begun or views.is_sealed(book, trial_id):
        return "cook"
    for state in views.page_states(book, trial_id):
        if state.stitch not in ("complete", "sealed"):
            return state.page
    return "question"
