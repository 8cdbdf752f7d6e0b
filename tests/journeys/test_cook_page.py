"""The Cook page by keyboard: weights, losses with their base, refusals, loads, leaving out."""

import pytest
from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import choose, desk, focused, keyed, pressed, rewrite, show, write
from tests.journeys.trials import asked, planned, ready_to_cook, staged
from trialbench.model.message import say
from trialbench.model.records import Cook, Measurement
from trialbench.notebook import views
from trialbench.notebook.acts import stages

ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "cook", ready_to_cook(window.desk.notebook, pieces_each="2"))


def _keys(qtbot, *typed: str) -> None:
    """Each text into the cell that is current, left by Enter."""
    for text in typed:
        keyed(qtbot, text, ENTER)


def _weigh(qtbot, page) -> None:
    qtbot.mouseClick(page.leaf.head.verbs()["weigh"], Qt.MouseButton.LeftButton)


def _mass_g(page, label: str, point: str) -> float | None:
    notebook, trial_id = page.desk.notebook, page.desk.trial_id
    piece = next(p for p in views.all_pieces(notebook, trial_id) if p.label == label)
    named = {c.name: c.id for c in views.checkpoints(notebook, trial_id)}
    return views.mass_g(notebook, piece.id, named[point])


def _texts(page, row: int) -> list[str]:
    model = page.model
    return [model.cell(row, column).text for column in range(model.columnCount())]


def test_without_cook_days_it_says_where_they_come_from(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "cook", asked(window.desk.notebook))
        assert "no cook day yet" in page.empty.words() and page.table.isHidden()
        pressed(qtbot, page.empty, "Write the plan")
        assert window.page().key == "plan"


def test_weights_go_down_a_column_and_every_loss_names_its_base(page, qtbot):
    assert "Weigh P01 to P04, raw." in page.act.words()
    _weigh(qtbot, page)
    _keys(qtbot, "1000", "1010", "1 kg", "1,25 kg")
    assert [_mass_g(page, f"P0{n}", "raw") for n in (1, 2, 3, 4)] == [1000, 1010, 1000, 1250]
    assert "Weigh P01 to P04, trimmed." in page.act.words()
    _weigh(qtbot, page)
    _keys(qtbot, "900", "909", "900", "1000")
    assert _texts(page, 0)[-1] == "10.0 %" and _texts(page, 3)[-1] == "20.0 %"
    head = str(page.model.columns()[-1].title)
    assert "lost so far" in head and "raw" in head
    sums = page.sums.words()
    assert "of raw" in sums and "mean of 2 pieces" in sums
    assert page.desk.notebook.drafts == {}


def test_weights_may_be_written_before_the_draw(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = asked(window.desk.notebook)
        staged(window.desk.notebook, trial_id, "roast")
        planned(window.desk.notebook, trial_id, planned_cooks="1")
        page = show(qtbot, window, "cook", trial_id)
        assert _texts(page, 0)[1] == "–"
        _weigh(qtbot, page)
        _keys(qtbot, "950")
        assert _mass_g(page, "P01", "raw") == 950


def test_an_impossible_weight_stays_in_its_cell_with_two_ways_out(page, qtbot):
    _weigh(qtbot, page)
    _keys(qtbot, "1000", "1000", "1000", "1000")
    _weigh(qtbot, page)
    _keys(qtbot, "16390")
    cell = page.model.cell(0, 3)
    assert (cell.state, cell.text) == ("refused", "16390")
    assert "16 390 g is more than P01 weighed raw" in str(cell.reason).replace("\u2009", " ")
    assert _mass_g(page, "P01", "trimmed") is None
    refusal = page.table._refusals[0]
    pressed(qtbot, refusal, "Write it again")
    rewrite(qtbot, "163900", ENTER)
    assert page.model.cell(0, 3).state == "refused"
    pressed(qtbot, page.table._refusals[0], "Leave it empty")
    assert page.model.cell(0, 3).state == "due" and page.desk.notebook.drafts == {}


def test_zero_and_words_are_no_weights(page, qtbot):
    for typed in ("0", "a lot", "1.000,5"):
        page.table.go_to(0, 2)
        page.model.drop_refusal(0, 2)
        _keys(qtbot, typed)
        assert page.model.cell(0, 2).state == "refused", typed
    assert page.desk.notebook.all(Measurement) == ()


def test_a_missing_weight_says_why_and_is_not_zero(page, qtbot):
    _weigh(qtbot, page)
    _keys(qtbot, "- dropped on the floor")
    cell = page.model.cell(0, 2)
    assert (cell.state, str(cell.reason)) == ("missing", "dropped on the floor")
    assert _mass_g(page, "P01", "raw") is None
    assert any("dropped on the floor" in str(s) for n in page.margin().notes for s in n.sentences)
    _keys(qtbot, "-")
    assert page.model.cell(1, 2).state == "refused"


def test_grams_and_ounces_are_switched_in_the_line_and_kept_as_typed(page, qtbot):
    _weigh(qtbot, page)
    _keys(qtbot, "1000")
    choose(qtbot, page.unit, "oz")
    assert _texts(page, 0)[2] == "35.3"
    page.table.go_to(1, 2)
    _keys(qtbot, "36")
    assert _mass_g(page, "P02", "raw") == pytest.approx(36 * 28.349523125)
    choose(qtbot, page.unit, "g")
    assert (
        _mass_g(page, "P01", "raw") == 1000 and _texts(page, 1)[2].replace("\u2009", "") == "1021"
    )


def test_undo_and_redo_a_weight(page, qtbot):
    _weigh(qtbot, page)
    _keys(qtbot, "1000", "1001")
    window = page.leaf.window()
    qtbot.keyClick(focused(), Qt.Key.Key_Z, CTRL)
    assert _mass_g(page, "P02", "raw") is None and _mass_g(page, "P01", "raw") == 1000
    qtbot.keyClick(focused(), Qt.Key.Key_Z, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert _mass_g(page, "P02", "raw") == 1001
    assert window.history.can_undo()


def test_what_was_half_typed_or_refused_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "cook", ready_to_cook(window.desk.notebook))
        trial_id = page.desk.trial_id
        page.days.turn(1)
        page.table.go_to(0, 2)
        _keys(qtbot, "0")
        page.table.go_to(1, 2)
        keyed(qtbot, "12")
        page.model.blockSignals(True)
        page.table._delegate.blockSignals(True)
        page.model.commit = lambda *args: None  # as by a kill: nothing more is written
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "cook", trial_id)
        assert "Cook day 2" in page.leaf.head.title()
        assert page.model.cell(0, 2).state == "refused" and page.model.cell(0, 2).text == "0"
        assert page.table._editor() is not None and page.table._editor().text() == "12"
        assert window.desk.notebook.all(Measurement) == ()
        page.model.commit = lambda *args: None


@pytest.mark.parametrize("typed", ["the 7th", "tomorrow", "2026-02-30"])
def test_a_day_that_is_none_is_refused_with_an_example(page, qtbot, typed):
    page.date.setFocus()
    write(qtbot, typed, ENTER)
    assert page.date.is_refused() and "2026-03-07" in page.date.below().words()
    pressed(qtbot, page.date.below(), "Write it again")
    rewrite(qtbot, "2026-03-07", ENTER)
    assert page.desk.notebook.get(Cook, page._cook_id).date == "2026-03-07"
    assert "Saturday 7 March" in say(page.leaf.head._says)


def test_what_happened_is_written_down(page, qtbot):
    page.happened.setFocus()
    write(qtbot, "the oven door stood open", ENTER)
    assert page.desk.notebook.get(Cook, page._cook_id).remark == "the oven door stood open"


def test_pieces_of_one_method_share_a_vessel_and_part_again(page, qtbot):
    notebook = page.desk.notebook
    pieces = views.pieces(notebook, page._cook_id)
    mine = [p for p in pieces if p.method_id == pieces[0].method_id]
    other = next(p for p in pieces if p.method_id != pieces[0].method_id)
    for piece in mine:
        choose(qtbot, page.shared._who, piece.id)
        write(qtbot, "pan 1", ENTER)
    (load,) = views.loads(notebook, page._cook_id)
    assert [p.id for p in views.pieces_of_load(notebook, load.id)] == [p.id for p in mine]
    assert "shared pan 1" in page.shared.words()
    choose(qtbot, page.shared._who, other.id)
    write(qtbot, "pan 1", ENTER)
    why = page.shared._why
    assert why.is_refused() and "both methods" in why.below().words()
    pressed(qtbot, why.below(), "Keep what was there")
    choose(qtbot, page.shared._who, mine[0].id)
    write(qtbot, "alone", ENTER)
    assert len(views.pieces_of_load(notebook, load.id)) == 1
    pressed(qtbot, page.shared, "It was alone")
    assert views.loads(notebook, page._cook_id) == ()


def test_leaving_out_wants_a_reason_and_can_be_taken_back(page, qtbot):
    piece = views.pieces(page.desk.notebook, page._cook_id)[0]
    _weigh(qtbot, page)
    _keys(qtbot, "1000")
    choose(qtbot, page.aside._who, piece.id)
    assert focused() is page.aside._why
    qtbot.keyClick(focused(), ENTER)
    assert views.left_out(page.desk.notebook, page.desk.trial_id) == ()
    page.aside._why.setFocus()
    write(qtbot, "its pan leaked", ENTER)
    (out,) = views.left_out(page.desk.notebook, page.desk.trial_id)
    assert (out.subject_id, out.reason) == (piece.id, "its pan leaked")
    assert page.model.cell(0, 2).state == "left_out"
    assert "Left out: P01, its pan leaked." in page.aside.words()
    pressed(qtbot, page.aside, "Count P01 again")
    assert views.left_out(page.desk.notebook, page.desk.trial_id) == ()
    assert page.model.cell(0, 2).state == "written"


def test_a_stage_of_one_method_makes_no_weight_due_for_the_other(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook)
        a, _ = views.methods(notebook, trial_id)
        notebook.apply(stages.add_stage(notebook, trial_id, "hold", method_id=a.id))
        page = show(qtbot, window, "cook", trial_id)
        page._lay_out()
        point = next(c for c in views.checkpoints(notebook, trial_id) if "held" in c.name)
        column = page.model.place_of(views.pieces(notebook, page._cook_id)[0].id, point.id)[1]
        for row in range(2):
            for at in range(2, column):
                page.table.go_to(row, at)
                _keys(qtbot, "1000")
        letters = [views.method_of_piece(notebook, p).letter
                   for p in views.pieces(notebook, page._cook_id)]  # fmt: skip
        states = {letter: page.model.cell(row, column).state for row, letter in enumerate(letters)}
        assert states == {"A": "due", "B": "not_due"}


def test_days_are_turned_by_keys_and_by_their_numbers(page, qtbot):
    qtbot.keyClick(page.leaf.window(), Qt.Key.Key_PageDown, CTRL)
    assert "Cook day 2 of 2" in page.leaf.head.title()
    pressed(qtbot, page.days, "1")
    assert "Cook day 1 of 2" in page.leaf.head.title()


def test_a_day_more_than_planned_is_added_and_said(page, qtbot):
    page._add_cook()
    assert len(views.cooks(page.desk.notebook, page.desk.trial_id)) == 3
    for _ in range(2):
        page.days.turn(1)
    assert any("added to the plan" in str(note.label) for note in page.margin().notes)


def test_every_cell_is_spoken_with_its_state(page, qtbot):
    model = page.model
    said = model.data(model.index(0, 2), Qt.ItemDataRole.AccessibleTextRole)
    assert said == "P01, raw, due now, empty"
    assert "not due yet" in model.data(model.index(0, 3), Qt.ItemDataRole.AccessibleTextRole)


def test_at_counter_size_only_the_act_and_the_pieces_stand_with_what_is_due(page, qtbot):
    window = page.leaf.window()
    _weigh(qtbot, page)
    _keys(qtbot, "1000", "1000", "1000", "1000")
    qtbot.keyClick(window, Qt.Key.Key_F11, Qt.KeyboardModifier.ShiftModifier)
    assert page.act.isVisible() and page.table.isVisible()
    gone = (page.days, page.weights_line, page.sums, page.notes_line, page.shared, page.aside)
    assert not any(part.isVisible() for part in gone)
    titles = [str(column.title) for column in page.model.columns()[2:-1]]
    assert titles == ["raw, g", "trimmed, g", "roasted, g"]
    _weigh(qtbot, page)
    _keys(qtbot, "900", "900", "900", "900", "700")
    titles = [str(column.title) for column in page.model.columns()[2:-1]]
    assert titles == ["trimmed, g", "roasted, g", "rested, g"]
    assert _mass_g(page, "P01", "roasted") == 700 and _texts(page, 0)[-1] == "30.0 %"
    qtbot.keyClick(window, Qt.Key.Key_F11, Qt.KeyboardModifier.ShiftModifier)
    assert page.days.isVisible() and len(page.model.columns()) == 3 + 5
