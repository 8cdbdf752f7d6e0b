"""The line of cook days: turning from one to the next, and nowhere past its ends."""

import pytest

from trialbench.model.message import msg
from trialbench.model.records import Cook
from trialbench.ui.pages.numbered_days import NumberedDays


@pytest.fixture
def days(book, qtbot):
    line = NumberedDays(msg("Cook day"), lambda number: msg("Cook day {number}", number=number))
    qtbot.addWidget(line)
    return line


def _turned(days, open_id: str, by: int, count: int = 3) -> list[str]:
    cooks = [Cook(id=f"c{n}", trial_id="t", number=n) for n in range(1, count + 1)]
    days.show_days(cooks, open_id)
    chosen: list[str] = []
    days.chosen.connect(chosen.append)
    days.turn(by)
    days.chosen.disconnect(chosen.append)
    return chosen


def test_turning_goes_to_the_day_beside(days):
    assert _turned(days, "c2", 1) == ["c3"]
    assert _turned(days, "c2", -1) == ["c1"]


def test_turning_stops_at_both_ends(days):
    assert _turned(days, "c3", 1) == []
    assert _turned(days, "c1", -1) == []


def test_without_an_open_day_there_is_nothing_to_turn_from(days):
    assert _turned(days, "", 1) == []
    assert _turned(days, "c1", 1, count=0) == []
