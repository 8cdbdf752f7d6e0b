"""Five cook days from nothing: bought, matched, sealed, and drawn day by day at the parting.

All by keys and clicks in the real window. Day 2 comes a week after day 1: its pieces, weights and
lots are written after the plan was sealed.
"""

from __future__ import annotations

from collections import Counter

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
    settle,
    show,
    write,
)
from tests.journeys.at_work import Worker
from trialbench.model.message import say
from trialbench.model.records import Load, Method
from trialbench.notebook import views
from trialbench.planning.draw_rule import off_the_rule
from trialbench.ui.pair_block import PairBlock

ENTER, TAB = Qt.Key.Key_Return, Qt.Key.Key_Tab
RACKS = "upper rack, lower rack"
BOUGHT = (("2310", "pig 7", "left"), ("2455", "pig 8", "left"), ("2290", "pig 7", "right"),
          ("2480", "pig 8", "right"))  # fmt: skip


@pytest.fixture
def worker(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook)
        show(qtbot, window, "question", trial_id)
        yield Worker(qtbot, window)


def _asked_and_staged(worker, qtbot) -> None:
    """The question, and methods that part at the hold."""
    worker.ask("pork shoulder", "held dry", "held in its juices", "juicier", "0.8")
    worker.stage("salt")
    worker.stage("roast")
    _, hold, block = worker.stage("hold")
    block.focus_on("medium")
    write(qtbot, "air")
    page = worker.window.page()
    block = page._blocks[hold.id]
    block.focus_on("medium")
    qtbot.keyClick(focused(), Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    write(qtbot, "its own juices")
    assert views.differing(worker.notebook, worker.trial_id)


def _planned(worker, qtbot):
    page = worker.turn_to(3)
    for field, typed in (("planned_cooks", "5"), ("pieces_each", "2"), ("planned_tasters", "8")):
        blank = page.figures.sentence.blanks[field]
        blank.setFocus()
        blank.selectAll()
        keyed(qtbot, typed, ENTER)
    choose(qtbot, page.figures.sentence.paired, "yes")
    settle(qtbot, worker.window)
    return page


def _matched(page, qtbot, day: int) -> None:
    """The matching list of one day, typed cell by cell; the pairs as they are proposed."""
    if not page.matching.is_open():
        qtbot.mouseClick(page.matching.opens, Qt.MouseButton.LeftButton)
    if page.matching.days.isVisible():
        found = [b for b in page.matching.days.findChildren(type(page.matching.opens))
                 if b.label() == str(day)]  # fmt: skip
        qtbot.mouseClick(found[0], Qt.MouseButton.LeftButton)
    if "side" not in page.matching.model.fields:
        pressed(qtbot, page.matching.columns, "side")
    fields = page.matching.model.fields
    for row, cells in enumerate(BOUGHT):
        for field, text in zip(("bought_g", "source", "side"), cells, strict=True):
            page.matching.table.setFocus()
            page.matching.table.go_to(row, 1 + fields.index(field))
            keyed(qtbot, text, ENTER)
    pressed(qtbot, page.matching.proposal, "Pair them so")


def _weighed_to_the_parting(worker, qtbot, day: int) -> None:
    page = worker.turn_to(4)
    cook = views.cooks(worker.notebook, worker.trial_id)[day - 1]
    page._open_day(cook.id)
    for point in views.checkpoints(worker.notebook, worker.trial_id):
        for n, piece in enumerate(views.pieces(worker.notebook, cook.id)):
            page.table.go_to(*page.model.place_of(piece.id, point.id))
            keyed(qtbot, str(2300 - 50 * point.position + n), ENTER)
        if point.name == "roasted":
            return


def _day(worker, number):
    return views.cooks(worker.notebook, worker.trial_id)[number - 1]


def _drawn_days(worker) -> list[int]:
    book = worker.notebook
    days = views.cooks(book, worker.trial_id)
    return [d.number for d in days if all(p.method_id for p in views.pieces(book, d.id))]


def _later_days(worker, qtbot) -> None:
    """A week later, and so on: bought, matched, weighed and drawn under the seal."""
    for day in range(2, 6):
        page = worker.turn_to(3)
        _matched(page, qtbot, day)
        _weighed_to_the_parting(worker, qtbot, day)
        worker.turn_to(3)
        worker.press("draw")
        assert _drawn_days(worker) == list(range(1, day + 1))


def _is_even_and_by_the_seal(worker) -> None:
    notebook, trial_id = worker.notebook, worker.trial_id
    assert off_the_rule(views.OneTrial(notebook, trial_id)) == ()
    draws, pieces = views.draws(notebook, trial_id), views.all_pieces(notebook, trial_id)
    assert len(draws) == 5 and len({draw.lot_number for draw in draws}) == 1
    where = Counter((piece.method_id, piece.place) for piece in pieces)
    assert set(where.values()) == {5} and len(where) == 4
    first = Counter(day.starts_id for day in views.cooks(notebook, trial_id))
    assert sorted(first.values()) == [2, 3]


def test_five_cook_days_from_nothing(worker, qtbot):
    _asked_and_staged(worker, qtbot)
    page = _planned(worker, qtbot)
    notebook = worker.notebook
    assert len(views.all_pieces(notebook, worker.trial_id)) == 20
    verb = page.leaf.head.verbs()["draw"]
    assert "Lots of day 1 are drawn on the weights at roasted" in str(verb.why())

    _matched(page, qtbot, 1)
    pairs = {}
    for piece in views.pieces(notebook, _day(worker, 1).id):
        pairs.setdefault(piece.pair_id, []).append(piece.label)
    assert sorted(pairs.values()) == [["P01", "P03"], ["P02", "P04"]]
    sources = [pair.source for pair in views.pairs(notebook, _day(worker, 1).id)]
    assert sources == ["pig 7", "pig 8"]
    assert "Paired by source, side and weight" in page.matching.proposal.words()

    # Day 1 is drawn at its parting; the seal then holds the rule and the lot number for the rest.
    page.who.places.setFocus()
    write(qtbot, RACKS, ENTER)
    _weighed_to_the_parting(worker, qtbot, 1)
    assert "Lots of day 1 are due" in worker.window.page().act.words()
    pressed(qtbot, worker.window.page().act, "Draw them on the Plan")
    settle(qtbot, worker.window)
    page = worker.window.page()
    assert page.leaf.head.verbs()["draw"].is_due()
    worker.press("draw")
    assert _drawn_days(worker) == [1]
    worker.press("seal")
    assert "drawn once, at its parting" in page.seal.asks.words()
    pressed(qtbot, page.seal.asks, "Seal it now")
    assert views.seal(notebook, worker.trial_id) is not None

    _later_days(worker, qtbot)
    _is_even_and_by_the_seal(worker)
    assert not worker.window.page().leaf.head.verbs()["draw"].is_due()


def test_pieces_that_share_a_pan_drop_the_count_and_the_margin_says_which_pan(worker, qtbot):
    _asked_and_staged(worker, qtbot)
    page = worker.turn_to(3)
    for field, typed in (("planned_cooks", "1"), ("pieces_each", "2"), ("planned_tasters", "8")):
        blank = page.figures.sentence.blanks[field]
        blank.setFocus()
        blank.selectAll()
        keyed(qtbot, typed, ENTER)
    settle(qtbot, worker.window)
    told = [" ".join(map(say, note.sentences)) for note in page.margin().notes]
    assert any("2 of each method count on a cook day" in said for said in told)
    qtbot.mouseClick(page.matching.opens, Qt.MouseButton.LeftButton)
    pressed(qtbot, page.matching.columns, "pan, bag or box")
    column = 1 + page.matching.model.fields.index("load_id")
    for row in (0, 2):
        page.matching.table.setFocus()
        page.matching.table.go_to(row, column)
        keyed(qtbot, "pan 2", ENTER)
    settle(qtbot, worker.window)
    (note,) = [n for n in page.margin().notes if "pan 2" in say(n.label)]
    said = " ".join(map(say, note.sentences))
    assert say(note.label) == "Day 1, pan 2: P01 and P03 count as one"
    assert "1 unit of each method, not 2" in said
    assert "this tells you about these 2 loads" in said
    assert (
        "P01 and P03 share pan 2, in"
        in page.matching.shared.findChildren(type(page.matching.proposal))[0].words()
    )
    page.leaf.verb.emit(note.verbs[0])
    assert worker.notebook.all(Load) == ()


def test_a_rejected_piece_gives_its_place_to_a_spare(worker, qtbot):
    _asked_and_staged(worker, qtbot)
    page = _planned(worker, qtbot)
    qtbot.mouseClick(page.matching.opens, Qt.MouseButton.LeftButton)
    page.matching.spares.setFocus()
    write(qtbot, "1", ENTER)
    labels = [p.label for p in views.every_piece(worker.notebook, _day(worker, 1).id)]
    assert labels == ["P01", "P02", "P03", "P04", "S01"]
    takes_part = 1 + page.matching.model.fields.index("takes_part")
    page.matching.table.setFocus()
    page.matching.table.go_to(1, takes_part)
    keyed(qtbot, "maybe", ENTER)
    assert page.matching.model.refusal_in(1) is not None
    page.matching.table.go_to(1, takes_part)
    keyed(qtbot, "- a broken bone", ENTER)
    there = [p.label for p in views.pieces(worker.notebook, _day(worker, 1).id)]
    assert there == ["P01", "P03", "P04"]
    assert any("not whole" in say(note.label) for note in page.margin().notes)
    row = next(r for r in range(5) if page.matching.model.cell(r, 0).text == "S01")
    page.matching.table.go_to(row, takes_part)
    keyed(qtbot, "yes", ENTER)
    there = [p.label for p in views.pieces(worker.notebook, _day(worker, 1).id)]
    assert sorted(there) == ["P01", "P03", "P04", "S01"]
    assert not any("not whole" in say(note.label) for note in page.margin().notes)


def test_whoever_trims_need_not_know_who_gets_what(worker, qtbot):
    _asked_and_staged(worker, qtbot)
    page = _planned(worker, qtbot)
    pressed(qtbot, page.who.lots.waits, "Draw all lots now, and say why")
    write(qtbot, "the racks are filled first", ENTER)
    letters = {m.letter for m in worker.notebook.all(Method)}
    assert letters == {"A", "B"}
    assert any("method A" in block.accessibleName() for block in _blocks(page))
    pressed(qtbot, page.who.who, "Hide who gets what")
    assert not any("method" in block.accessibleName() for block in _blocks(page))
    pressed(qtbot, page.who.who, "Show who gets what")
    assert any("method A" in block.accessibleName() for block in _blocks(page))


def _blocks(page):
    QApplication.processEvents()
    return [b for b in page.who.days.findChildren(PairBlock) if b.isVisibleTo(page.who.days)]
