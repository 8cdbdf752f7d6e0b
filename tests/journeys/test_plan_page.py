"""The Plan page by keyboard: figures, pairs, loads, lots with their reasons, the seal."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import (
    choose,
    desk,
    draw_now,
    focused,
    keyed,
    pressed,
    rewrite,
    settle,
    show,
    write,
)
from tests.journeys.trials import asked, drawn, planned, staged
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, methods, plan
from trialbench.ui.pair_block import PairBlock

ENTER = Qt.Key.Key_Return


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "plan", asked(window.desk.notebook))


def _trial(page) -> Trial:
    return page.desk.notebook.get(Trial, page.desk.trial_id)


def _figures(qtbot, page, cooks="4", each="1", tasters="8") -> None:
    blanks = page.figures.sentence.blanks
    for field, typed in zip(blanks, (cooks, each, tasters), strict=True):
        blanks[field].setFocus()
        rewrite(qtbot, typed, ENTER)


def _head(page, name):
    return page.leaf.head.verbs()[name]


def _blocks(page) -> list[PairBlock]:
    QApplication.processEvents()  # what came into a layout is shown by an event
    return [
        block for block in page.who.days.findChildren(PairBlock) if block.isVisibleTo(page.who.days)
    ]


def _press(qtbot, page, name) -> None:
    qtbot.mouseClick(_head(page, name), Qt.MouseButton.LeftButton)


def _methods(page) -> dict[str, str | None]:
    pieces = views.all_pieces(page.desk.notebook, page.desk.trial_id)
    return {piece.label: piece.method_id for piece in pieces}


def _undo(qtbot, page, redo=False) -> None:
    shift = Qt.KeyboardModifier.ShiftModifier if redo else Qt.KeyboardModifier.NoModifier
    window = page.leaf.window()
    window.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier | shift)


def test_an_empty_plan_says_what_it_wants_and_draws_nothing(page):
    assert "Write how many cook days" in page.who.who.words()
    assert _head(page, "draw").why() is not None and _head(page, "seal").why() is not None


def test_figures_lay_out_days_and_pieces_as_they_are_written(page, qtbot):
    _figures(qtbot, page, "3", "2", "8")
    trial = _trial(page)
    assert (trial.planned_cooks, trial.pieces_each, trial.planned_tasters) == (3, 2, 8)
    assert len(page.who.rows) == 3 and len(_methods(page)) == 12
    assert not _head(page, "draw").is_due()
    assert "drawn on the weights at raw" in str(_head(page, "draw").why())
    assert page.desk.notebook.drafts == {}


@pytest.mark.parametrize(("field", "typed"), [("planned_cooks", "61"), ("pieces_each", "0"),
                                              ("planned_tasters", "many")])  # fmt: skip
def test_a_figure_that_cannot_be_stays_in_sight_with_two_ways_out(page, qtbot, field, typed):
    _figures(qtbot, page, "3", "2", "8")
    before, blank = _trial(page), page.figures.sentence.blanks[field]
    blank.setFocus()
    rewrite(qtbot, typed, ENTER)
    assert blank.is_refused() and blank.text() == typed
    assert _trial(page) == before
    pressed(qtbot, blank.below(), "Write it again")
    assert focused() is blank and blank.selectedText() == typed
    rewrite(qtbot, typed, ENTER)
    pressed(qtbot, blank.below(), "Keep what was there")
    assert not blank.is_refused() and blank.text() == str(getattr(before, field))
    assert page.desk.notebook.drafts == {}


def test_pairs_loads_and_servings_are_chosen_in_the_sentence_and_taken_back(page, qtbot):
    _figures(qtbot, page, "2", "2")
    choose(qtbot, page.figures.sentence.paired, "yes")
    choose(qtbot, page.figures.sentence.loads, "shared")
    choose(qtbot, page.figures.sentence.servings, "2")
    trial = _trial(page)
    assert (trial.paired, trial.loads, trial.servings) == (True, "shared", 2)
    assert "2 matched pairs a day, together in one vessel" in page.figures.sentence.words()
    assert "every sample tasted twice" in page.figures.sentence.words()
    cook = views.cooks(page.desk.notebook, trial.id)[0]
    assert len(views.pairs(page.desk.notebook, cook.id)) == 2
    for _ in range(3):
        _undo(qtbot, page)
    assert (_trial(page).paired, _trial(page).loads, _trial(page).servings) == (False, "alone", 1)
    assert page.figures.sentence.paired.kept() == "no"
    for _ in range(3):
        _undo(qtbot, page, redo=True)
    assert _trial(page) == trial


def test_lots_are_drawn_once_then_only_with_a_reason_and_counted(page, qtbot):
    _figures(qtbot, page)
    draw_now(qtbot, page)
    assert all(_methods(page).values())
    assert "This is draw 1 of 1, within each cook day, lot number" in page.who.lots.said.words()
    _press(qtbot, page, "draw")
    assert focused() is page.who.lots.reason
    qtbot.keyClick(focused(), ENTER)
    assert len(views.draws(page.desk.notebook, page.desk.trial_id)) == 1
    page.who.lots.reason.setFocus()
    write(qtbot, "P03 was still frozen", ENTER)
    draws = views.draws(page.desk.notebook, page.desk.trial_id)
    assert [draw.reason for draw in draws] == ["", "P03 was still frozen"]
    said = page.who.lots.said.words()
    assert "This is draw 2 of 2" in said
    assert "Draw 1 was set aside: “P03 was still frozen”" in said
    assert page.who.lots.asking.isHidden() and not page.who.lots.reason.is_refused()
    assert page.desk.notebook.drafts == {}
    _undo(qtbot, page)
    assert "This is draw 1 of 1" in page.who.lots.said.words()


def test_a_reason_half_written_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = asked(window.desk.notebook)
        planned(window.desk.notebook, trial_id, planned_cooks="2")
        drawn(window.desk.notebook, trial_id)
        page = show(qtbot, window, "plan", trial_id)
        _press(qtbot, page, "draw")
        qtbot.keyClicks(focused(), "P03 was sti")
        page.who.lots.reason.blockSignals(True)
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "plan", trial_id)
        assert page.who.lots.reason.text() == "P03 was sti" and page.who.lots.reason.isVisible()
        assert len(views.draws(window.desk.notebook, trial_id)) == 1
        page.who.lots.reason.blockSignals(True)


def test_a_figure_half_typed_or_refused_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "plan", asked(window.desk.notebook))
        trial_id = page.desk.trial_id
        page.figures.sentence.blanks["planned_tasters"].setFocus()
        rewrite(qtbot, "none at all", ENTER)
        page.figures.sentence.blanks["planned_cooks"].setFocus()
        qtbot.keyClicks(focused(), "1")
        page.figures.sentence.blanks["planned_cooks"].blockSignals(True)
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "plan", trial_id)
        assert page.figures.sentence.blanks["planned_cooks"].text() == "1"
        assert page.figures.sentence.blanks["planned_tasters"].is_refused()
        assert page.figures.sentence.blanks["planned_tasters"].text() == "none at all"
        assert _trial(page).planned_cooks is None
        page.figures.sentence.blanks["planned_cooks"].blockSignals(True)


def test_places_are_given_in_turn_and_stand_on_the_pieces(page, qtbot):
    _figures(qtbot, page, "2", "1")
    page.who.places.setFocus()
    write(qtbot, "upper rack, lower rack", ENTER)
    draw_now(qtbot, page)
    for cook in views.cooks(page.desk.notebook, page.desk.trial_id):
        places = {piece.place for piece in views.pieces(page.desk.notebook, cook.id)}
        assert places == {"upper rack", "lower rack"}
    spoken = [block.accessibleName() for block in _blocks(page)]
    assert any("upper rack" in name for name in spoken)


def test_where_a_pair_comes_from_is_written_under_its_block(page, qtbot):
    _figures(qtbot, page, "1", "1")
    choose(qtbot, page.figures.sentence.paired, "yes")
    assert any("no source" in str(note.label) for note in page.margin().notes)
    page.do("go_to", (page.who.rows[0].line,))
    write(qtbot, "bird 7", ENTER)
    cook = views.cooks(page.desk.notebook, page.desk.trial_id)[0]
    assert views.pairs(page.desk.notebook, cook.id)[0].source == "bird 7"
    assert not any("no source" in str(note.label) for note in page.margin().notes)


def test_a_row_in_which_one_writes_is_not_built_again(page, qtbot):
    _figures(qtbot, page, "2", "2")
    choose(qtbot, page.figures.sentence.paired, "yes")
    rows = list(page.who.rows)
    page.do("go_to", (rows[0].line,))
    write(qtbot, "bird 7")
    assert page.who.rows == rows
    write(qtbot, "bird 8", ENTER)
    cook = views.cooks(page.desk.notebook, page.desk.trial_id)[0]
    sources = [pair.source for pair in views.pairs(page.desk.notebook, cook.id)]
    assert sources == ["bird 7", "bird 8"]


def test_there_is_no_draw_after_the_first_weight(page, qtbot):
    staged(page.desk.notebook, page.desk.trial_id, "roast")
    _figures(qtbot, page, "2")
    draw_now(qtbot, page)
    notebook = page.desk.notebook
    piece = views.all_pieces(notebook, page.desk.trial_id)[0]
    raw = views.checkpoints(notebook, page.desk.trial_id)[0]
    notebook.apply(cooking.set_mass(notebook, piece.id, raw.id, "900"))
    before = _methods(page)
    assert "weighed after draw 1" in str(_head(page, "draw").why())
    _press(qtbot, page, "draw")
    assert _methods(page) == before
    page.figures.sentence.blanks["planned_cooks"].setFocus()
    rewrite(qtbot, "3", ENTER)
    assert len(_methods(page)) == 6 and _methods(page)["P01"] == before["P01"]


def test_fewer_days_than_were_begun_are_refused(page, qtbot):
    staged(page.desk.notebook, page.desk.trial_id, "roast")
    _figures(qtbot, page, "2")
    notebook = page.desk.notebook
    last = views.all_pieces(notebook, page.desk.trial_id)[-1]
    raw = views.checkpoints(notebook, page.desk.trial_id)[0]
    notebook.apply(cooking.set_mass(notebook, last.id, raw.id, "900"))
    blank = page.figures.sentence.blanks["planned_cooks"]
    blank.setFocus()
    rewrite(qtbot, "1", ENTER)
    assert blank.is_refused() and "Cook day 2 was begun" in blank.below().words()


def test_the_seal_asks_once_and_then_nothing_can_be_drawn_or_changed(page, qtbot):
    staged(page.desk.notebook, page.desk.trial_id, "roast")
    _figures(qtbot, page, "2")
    draw_now(qtbot, page)
    assert _head(page, "seal").is_due()
    _press(qtbot, page, "seal")
    assert "Seal it?" in page.seal.asks.words()
    assert views.seal(page.desk.notebook, page.desk.trial_id) is None
    pressed(qtbot, page.seal.asks, "Not yet")
    assert page.seal.asks.isHidden()
    _press(qtbot, page, "seal")
    qtbot.keyClick(focused(), ENTER)
    qtbot.keyClick(focused(), Qt.Key.Key_Space)
    assert views.seal(page.desk.notebook, page.desk.trial_id) is not None
    assert "The plan is sealed" in say(page.leaf.head._says)
    assert "fingerprint" in page.who.lots.said.words()
    assert all(blank.isReadOnly() for blank in page.figures.sentence.blanks.values())
    assert page.figures.sentence.words().startswith("2 cook days, 1 piece of each method a day")
    assert "sealed" in str(_head(page, "draw").why())
    _undo(qtbot, page)
    assert views.seal(page.desk.notebook, page.desk.trial_id) is not None


def test_a_day_that_comes_later_gets_its_own_lots_with_a_reason(page, qtbot):
    staged(page.desk.notebook, page.desk.trial_id, "roast")
    _figures(qtbot, page, "2")
    draw_now(qtbot, page)
    _press(qtbot, page, "seal")
    pressed(qtbot, page.seal.asks, "Seal it now")
    before = _methods(page)
    notebook = page.desk.notebook
    notebook.apply(plan.add_cook(notebook, page.desk.trial_id))
    assert _head(page, "draw").label() == "Draw lots of day 3"
    assert _head(page, "draw").is_due()
    _press(qtbot, page, "draw")
    write(qtbot, "the guests asked for one more", ENTER)
    after = _methods(page)
    assert all(after.values()) and {label: after[label] for label in before} == before
    assert "of pieces that came later: “the guests asked" in page.who.lots.said.words()
    assert len({after["P05"], after["P06"]}) == 2


def test_three_methods_are_drawn_and_shown_one_by_one(page, qtbot):
    notebook = page.desk.notebook
    notebook.apply(methods.add_method(notebook, page.desk.trial_id, "held in steam"))
    _figures(qtbot, page, "2", "1")
    draw_now(qtbot, page)
    assert len(set(_methods(page).values())) == 3
    assert len(_blocks(page)) == 6


def test_shared_vessels_make_a_load_a_method_and_day(page, qtbot):
    _figures(qtbot, page, "2", "2")
    choose(qtbot, page.figures.sentence.loads, "shared")
    draw_now(qtbot, page)
    notebook = page.desk.notebook
    for cook in views.cooks(notebook, page.desk.trial_id):
        loads = views.loads(notebook, cook.id)
        inside = [{p.method_id for p in views.pieces_of_load(notebook, x.id)} for x in loads]
        assert len(loads) == 2 and all(len(one) == 1 for one in inside)


def test_what_the_plan_could_find_is_drawn_and_its_verb_changes_the_plan(page, qtbot):
    _figures(qtbot, page, "4", "1", "8")
    settle(qtbot, page.leaf.window())
    qtbot.waitUntil(page.feasibility.figure.has_picture, timeout=30_000)
    note = next(n for n in page.margin().notes if "what they can find" in str(n.label))
    verb = note.verbs[0]
    assert verb.name == "set_plan"
    page.leaf.verb.emit(verb)
    assert str(_trial(page).planned_cooks) == verb.args[2]


def test_what_to_buy_asks_for_what_is_not_known_and_says_what_is_at_stake(page, qtbot):
    _figures(qtbot, page, "2", "1", "8")
    buying = page.buying
    assert not buying.body.isVisible()
    qtbot.mouseClick(buying.opens, Qt.MouseButton.LeftButton)
    assert "waits for a portion and the yield" in buying.total.words()
    buying.portion.setFocus()
    write(qtbot, "30 g")
    assert focused() is buying.yields
    write(qtbot, "50")
    assert "A piece weighs about 480" in buying.total.words()
    buying.currency.setFocus()
    write(qtbot, "EUR", ENTER)
    buying.table.setFocus()
    buying.table.go_to(0, 3)
    keyed(qtbot, "a lot", ENTER)
    assert buying.model.refusal_in(0) is not None
    buying.table.go_to(0, 3)
    keyed(qtbot, "10 a kg", ENTER)
    # Two days of two pieces of 480 g at 10 a kilogram.
    assert "At stake: 19.20 EUR in all, 9.60 a cook day" in buying.total.words()
    assert page.desk.notebook.drafts == {}
