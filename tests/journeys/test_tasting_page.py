"""The Tasting page by keyboard: who sits, codes under a key, scores, plates, the key opened."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import (
    begun,
    choose,
    desk,
    focused,
    keyed,
    pressed,
    rewrite,
    settle,
    show,
    write,
)
from tests.journeys.trials import asked, letters_under_the_key, ready_to_cook, sealed
from trialbench.model.records import Score, Taster
from trialbench.notebook import views
from trialbench.notebook.acts import outcomes
from trialbench.ui.held_verb import HOLD_MS

ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(book, qtbot, tmp_path):
    """A trial whose lots are drawn, nobody at the table yet."""
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "tasting", ready_to_cook(window.desk.notebook))


@pytest.fixture
def table(book, qtbot, tmp_path):
    """Two tasters with two cards each, under a sealed key."""
    with desk(qtbot, tmp_path) as window:
        trial_id = ready_to_cook(window.desk.notebook)
        sealed(window.desk.notebook, views.cooks(window.desk.notebook, trial_id)[0])
        yield show(qtbot, window, "tasting", trial_id)


def _press(qtbot, page, name) -> None:
    qtbot.mouseClick(page.leaf.head.verbs()[name], Qt.MouseButton.LeftButton)
    QApplication.processEvents()


def _sitting(page):
    return views.sittings(page.desk.notebook, page.desk.trial_id)[-1]


def _aliases(page) -> list[str]:
    notebook = page.desk.notebook
    return [
        notebook.get(Taster, s.taster_id).alias for s in views.seats(notebook, _sitting(page).id)
    ]


def _hold(qtbot, verb, key=None) -> None:
    """Hold a verb down until it says that it was held."""
    with qtbot.waitSignal(verb.held, timeout=HOLD_MS * 4):
        if key is None:
            qtbot.mousePress(verb, Qt.MouseButton.LeftButton)
        else:
            verb.setFocus()
            qtbot.keyPress(verb, key)
    if key is None:
        qtbot.mouseRelease(verb, Qt.MouseButton.LeftButton)
    else:
        qtbot.keyRelease(verb, key)
    QApplication.processEvents()


def _all_scores(page) -> list[float | None]:
    return [score.number for score in page.desk.notebook.all(Score)]


def test_without_lots_or_attributes_it_says_what_is_missing(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "tasting", begun(window.desk.notebook, "ribs"))
        assert "Nothing is tasted in this trial" in page.empty.words()
        page = show(qtbot, window, "tasting", asked(window.desk.notebook))
        assert "no cook day yet" in page.empty.words()
        assert page.leaf.head.verbs()["begin"].why()


def test_tasters_come_by_number_and_by_name_and_the_key_is_made(page, qtbot):
    _press(qtbot, page, "begin")
    assert focused() is page.seats.more
    keyed(qtbot, "3", ENTER)
    page.seats.more.setFocus()
    keyed(qtbot, "Anna", ENTER)
    assert _aliases(page) == ["Taster 1", "Taster 2", "Taster 3", "Anna"]
    page.seats.more.setFocus()
    keyed(qtbot, "Anna", ENTER)
    assert page.seats.more.is_refused() and len(_aliases(page)) == 4
    pressed(qtbot, page.seats.more.below(), "Keep what was there")
    notebook = page.desk.notebook
    second = views.seats(notebook, _sitting(page).id)[1]
    choose(qtbot, page.seats.off, second.id)
    assert _aliases(page) == ["Taster 1", "Taster 3", "Anna"]
    choose(qtbot, page.seats.on, second.taster_id)
    assert _aliases(page) == ["Taster 1", "Taster 3", "Anna", "Taster 2"]
    _press(qtbot, page, "seal")
    sitting = _sitting(page)
    assert (sitting.key_state, sitting.key_guard) == ("sealed", "curtain")
    codes = [s.code for s in views.samples(notebook, sitting.id, warm_up=True)]
    assert len(set(codes)) == len(codes) == 4 * 3
    assert all(100 < int(code) < 1000 for code in codes)
    assert focused() is page.table and page.table.currentIndex().row() == 0
    qtbot.keyClick(page.table, Qt.Key.Key_Z, CTRL)
    assert _sitting(page).key_state == "sealed"


def test_an_alias_is_written_anew_in_the_line(page, qtbot):
    _press(qtbot, page, "begin")
    keyed(qtbot, "2", ENTER)
    first = next(v for v in page.seats.line.findChildren(type(page.served.values["slice_mm"])))
    first.setFocus()
    rewrite(qtbot, "Grandmother", ENTER)
    assert "Grandmother" in _aliases(page)


def test_single_keys_fill_and_move_on(table, qtbot):
    page = table
    qtbot.keyClick(page.leaf.window(), Qt.Key.Key_G, CTRL)
    keyed(qtbot, "6789")
    assert sorted(_all_scores(page)) == [6, 7, 8, 9]
    assert [page.model.cell(0, 1).text, page.model.cell(0, 2).text] == ["6", "7"]
    assert [page.model.cell(row, 3).text for row in (0, 1)] == ["2 of 2", "2 of 2"]
    assert "4 of 4" in page.sitting_key.envelope.accessibleName()
    assert page.sitting_key.early.isHidden()
    assert page.desk.notebook.drafts == {}


def test_a_score_off_the_scale_stays_in_its_cell_with_two_ways_out(table, qtbot):
    page = table
    page.table.write_in(0, 1)
    keyed(qtbot, "12", ENTER)
    cell = page.model.cell(0, 1)
    assert (cell.state, cell.text) == ("refused", "12")
    assert "1 to 9" in str(cell.reason)
    pressed(qtbot, page.table._refusals[0], "Write it again")
    rewrite(qtbot, "5.5", ENTER)
    assert page.model.cell(0, 1).state == "refused" and _all_scores(page) == []
    pressed(qtbot, page.table._refusals[0], "Leave it empty")
    assert page.model.cell(0, 1).state == "due" and page.desk.notebook.drafts == {}


def test_scores_are_taken_back_and_done_again(table, qtbot):
    page = table
    page.table.go_to(0, 1)
    keyed(qtbot, "67")
    qtbot.keyClick(focused(), Qt.Key.Key_Z, CTRL)
    assert [page.model.cell(0, 1).text, page.model.cell(0, 2).text] == ["6", ""]
    assert page.model.cell(0, 3).text == "1 of 2"
    qtbot.keyClick(focused(), Qt.Key.Key_Z, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert page.model.cell(0, 2).text == "7" and page.model.cell(0, 3).text == "2 of 2"


def test_a_missing_score_says_why(table, qtbot):
    page = table
    page.table.go_to(0, 1)
    keyed(qtbot, "- spilled", ENTER)
    assert (page.model.cell(0, 1).state, page.model.cell(0, 1).text) == ("missing", "spilled")
    assert _all_scores(page) == [None] and page.model.cell(0, 3).text == "1 of 2"


def test_a_pile_of_cards_is_typed_in_card_by_card(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook)
        step = outcomes.add_attribute(notebook, trial_id, "tenderness")
        notebook.apply(step)
        sealed(notebook, views.cooks(notebook, trial_id)[0])
        page = show(qtbot, window, "tasting", trial_id)
        taster = views.tasters(notebook)[1]
        choose(qtbot, page.showing, taster.id)
        assert page.model.rowCount() == 2 and "a sample a row" in page.showing_line.words()
        page.table.go_to(0, 1)
        keyed(qtbot, "6", ENTER if not page.model.columns()[1].one_key else None)
        assert page.model.cell(0, 1).text == "6"
        cards = views.cards_in(notebook, _sitting(page).id, taster.id)
        assert cards.filled == 0
        page.table.go_to(0, 2)
        keyed(qtbot, "5", ENTER if not page.model.columns()[2].one_key else None)
        assert views.cards_in(notebook, _sitting(page).id, taster.id).filled == 1


def test_what_was_half_typed_or_refused_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook)
        notebook.apply(outcomes.add_attribute(notebook, trial_id, "saltiness"))
        sealed(notebook, views.cooks(notebook, trial_id)[0])
        page = show(qtbot, window, "tasting", trial_id)
        saltiness = next(o for o in views.attributes(notebook, trial_id) if o.name == "saltiness")
        choose(qtbot, page.showing, saltiness.id)
        page.table.write_in(0, 1)
        keyed(qtbot, "99", ENTER)
        page.table.write_in(1, 1)
        keyed(qtbot, "4.")
        page.model.commit = lambda *args: None  # as by a kill: nothing more is written
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "tasting", trial_id)
        assert "saltiness" in page.showing_line.words()
        assert (page.model.cell(0, 1).state, page.model.cell(0, 1).text) == ("refused", "99")
        assert page.table._editor() is not None and page.table._editor().text() == "4."
        assert window.desk.notebook.all(Score) == ()
        page.model.commit = lambda *args: None


def test_the_key_opens_after_two_seconds_when_every_card_is_in(table, qtbot):
    page = table
    hidden = letters_under_the_key(page.desk.notebook, page.desk.trial_id)
    page.table.go_to(0, 1)
    keyed(qtbot, "6789")
    verb = page.sitting_key.open
    qtbot.mouseClick(verb, Qt.MouseButton.LeftButton)
    assert _sitting(page).key_state == "sealed"
    qtbot.mousePress(verb, Qt.MouseButton.LeftButton)
    assert verb.is_holding()
    qtbot.mouseRelease(verb, Qt.MouseButton.LeftButton)
    assert not verb.is_holding() and _sitting(page).key_state == "sealed"
    assert verb.label() == "Open the key: hold it for two seconds"
    _hold(qtbot, verb)
    sitting = _sitting(page)
    assert sitting.key_state == "open" and sitting.opened_early_reason == ""
    samples = views.samples(page.desk.notebook, sitting.id)
    shown = {s.id: page.model.cell(row, column).small.split()[-1]
             for row, places in enumerate(page.model._places)
             for column, place in enumerate(places) if place for s in [place[0]]}  # fmt: skip
    assert shown == {s.id: hidden[s.id] for s in samples}
    assert "Key opened" in page.sitting_key.envelope.accessibleName()
    assert not page.leaf.window().history.can_undo()


def test_the_key_is_held_open_by_keyboard_too(table, qtbot):
    page = table
    page.table.go_to(0, 1)
    keyed(qtbot, "6789")
    _hold(qtbot, page.sitting_key.open, Qt.Key.Key_Space)
    assert _sitting(page).key_state == "open"


def test_opening_early_wants_a_reason(table, qtbot):
    page = table
    _hold(qtbot, page.sitting_key.open)
    assert _sitting(page).key_state == "sealed"
    assert "4 score cards are still out. Not opened." in page.sitting_key.trouble.words()
    page.sitting_key.reason.setFocus()
    keyed(qtbot, "it got late", ENTER)
    assert focused() is page.sitting_key.open
    assert list(page.desk.notebook.drafts.values()) == ["it got late"]
    _hold(qtbot, page.sitting_key.open)
    assert _sitting(page).opened_early_reason == "it got late"
    assert page.desk.notebook.drafts == {}
    assert any("opened early" in str(note.label) for note in page.margin().notes)


def test_a_late_score_is_marked_for_good(table, qtbot):
    page = table
    page.table.go_to(0, 1)
    keyed(qtbot, "6789")
    _hold(qtbot, page.sitting_key.open)
    page.table.go_to(0, 1)
    keyed(qtbot, "5")
    cell = page.model.cell(0, 1)
    assert cell.text == "5†" and "after the key was open" in cell.spoken
    qtbot.keyClick(focused(), Qt.Key.Key_Z, CTRL)
    assert any(score.changed_after_opening for score in page.desk.notebook.all(Score))
    assert any("changed after opening" in str(note.label) for note in page.margin().notes)


def test_a_passphrase_guards_the_key(page, qtbot):
    _press(qtbot, page, "begin")
    keyed(qtbot, "2", ENTER)
    page.sitting_key.passphrase.setFocus()
    keyed(qtbot, "goose fat")
    _press(qtbot, page, "seal")
    assert _sitting(page).key_guard == "passphrase"
    assert page.sitting_key.passphrase.text() == ""
    assert "goose" not in repr(page.desk.notebook.drafts)
    page.table.go_to(0, 1)
    keyed(qtbot, "6789")
    page.sitting_key.passphrase.setFocus()
    keyed(qtbot, "duck fat")
    _hold(qtbot, page.sitting_key.open)
    assert _sitting(page).key_state == "sealed" and page.sitting_key.trouble.isVisible()
    page.sitting_key.passphrase.setFocus()
    keyed(qtbot, "goose fat")
    _hold(qtbot, page.sitting_key.open)
    assert _sitting(page).key_state == "open"


def test_the_servers_list_names_every_portion_and_the_look_is_written_down(table, qtbot):
    page = table
    notebook, sitting = page.desk.notebook, _sitting(page)
    _hold(qtbot, page.sitting_key.plate)
    (plates,) = page.sitting_key._plates
    said = " ".join(line.words() for row in plates._rows for line in row)
    for sample in views.samples(notebook, sitting.id, warm_up=True):
        assert sample.code in said
    assert page.table.isHidden() and page.showing_line.isHidden()
    assert "The server looked at the key" in str(notebook.history(limit=1)[0].label)
    _hold(qtbot, page.sitting_key.plate)
    assert page.sitting_key._plates == [] and page.table.isVisible()
    assert _sitting(page).key_state == "sealed"


def test_who_leaves_keeps_empty_cards_that_do_not_hold_the_key_shut(table, qtbot):
    page = table
    notebook, sitting = page.desk.notebook, _sitting(page)
    seat = views.seats(notebook, sitting.id)[1]
    page.table.go_to(0, 1)
    keyed(qtbot, "67")
    choose(qtbot, page.early._who, seat.id)
    write(qtbot, "a train", ENTER)
    cell = page.model.cell(1, 1)
    assert (cell.state, cell.span, cell.text) == ("missing", 2, "left early: a train")
    assert not page.model.is_editable(1, 1) and not page.model.is_editable(1, 2)
    assert page.table.columnSpan(1, 1) == 2
    assert page.sitting_key.early.isHidden()
    pressed(qtbot, page.early, "Taster 2 came back")
    assert page.model.cell(1, 1).state == "due" and page.table.columnSpan(1, 1) == 1


def test_a_taster_is_left_out_with_a_reason(table, qtbot):
    page = table
    taster = views.tasters(page.desk.notebook)[0]
    choose(qtbot, page.aside._who, taster.id)
    write(qtbot, "had a cold", ENTER)
    (out,) = views.left_out(page.desk.notebook, page.desk.trial_id)
    assert (out.subject, out.subject_id) == ("taster", taster.id)
    pressed(qtbot, page.aside, "Count Taster 1 again")
    assert views.left_out(page.desk.notebook, page.desk.trial_id) == ()


def test_how_it_is_served_is_written_in_its_line(table, qtbot):
    page = table
    values = page.served.values
    values["served_temp_c"].setFocus()
    write(qtbot, "136 °F", ENTER)
    assert _sitting(page).served_temp_c == pytest.approx(57.78, abs=0.01)
    values["slice_mm"].setFocus()
    write(qtbot, "900", ENTER)
    assert values["slice_mm"].is_refused()
    pressed(qtbot, values["slice_mm"].below(), "Keep what was there")
    page.do("go_to", ("allergens",))
    write(qtbot, "wheat", ENTER)
    assert _sitting(page).allergens == "wheat"


def test_the_second_sitting_evens_out_the_orders(page, qtbot):
    notebook, trial_id = page.desk.notebook, page.desk.trial_id
    for number in (1, 2):
        _press(qtbot, page, "begin")
        if number == 1:
            keyed(qtbot, "3", ENTER)
        _press(qtbot, page, "seal")
    first = {"A": 0, "B": 0}
    letters = letters_under_the_key(notebook, trial_id)
    for sitting in views.sittings(notebook, trial_id):
        for sample in views.samples(notebook, sitting.id):
            if sample.position == 1:
                first[letters[sample.id]] += 1
    assert first == {"A": 3, "B": 3}
    assert "Sitting" in page.days.words()
    pressed(qtbot, page.days, "1")
    assert "Sitting 1" in str(page.leaf.head._says)
    settle(qtbot, page.leaf.window())
