"""Where a method comes from, in its note."""

import pytest

from trialbench.model.message import say
from trialbench.model.records import Method
from trialbench.report.origin import origin_lines


@pytest.mark.parametrize(
    ("origin", "note", "departs", "lines"),
    [
        ("own", "", "", []),
        ("own", "since 2021", "", ["Our own: since 2021."]),
        ("learned", "a cook’s letter", "", ["Learned: a cook’s letter."]),
        ("cited", "", "", ["A way that was read."]),
        (
            "cited",
            "a page of a book.",
            "an hour less",
            ["From: a page of a book.", "Here it was not followed in this: an hour less."],
        ),
    ],
)
def test_a_way_that_is_somebodys_stays_somebodys(origin, note, departs, lines):
    method = Method("b", "t", "B", "held dry", origin, note, departs)
    assert [say(line) for line in origin_lines(method)] == lines
