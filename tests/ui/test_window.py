"""The window: pages, keys, folding, undo, trouble, and what is kept for the next time."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.ui.sample_book import sample_window
from trialbench.model.errors import FileTrouble, Refused
from trialbench.model.message import msg
from trialbench.model.records import Cover
from trialbench.model.steps import Step, added
from trialbench.ui import theme
from trialbench.ui.folding import widths
from trialbench.ui.index import IndexLine
from trialbench.ui.settings import Settings
from trialbench.ui.spine import PageName
from trialbench.ui.verbs import Verb
from trialbench.ui.verbs_table import VerbEntry


def _step(label: str, **more) -> Step:
    cover = Cover(id=label, name=label, begun_utc="2026-03-07T10:00:00Z")
    return Step(msg("{label}", label=label), added(cover), **more)


@pytest.fixture
def window(book, qtbot):
    made = sample_window()
    made.resize(1280, 800)
    made.show()
    made.open_page("methods")
    qtbot.waitUntil(made.isActiveWindow)
    yield made
    made.close()
    made.deleteLater()


def _key(qtbot, window, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget() or window, key, modifier)


def test_pages_are_made_when_they_are_opened(window):
    assert set(window._pages) == {"methods"}
    window.open_page("plan")
    assert set(window._pages) == {"methods", "plan"}
    assert window.page().key == "plan"


def test_ctrl_and_a_number_opens_a_page(window, qtbot):
    for key, wanted in ((Qt.Key.Key_1, "question"), (Qt.Key.Key_4, "cook"), (Qt.Key.Key_0,
                        "contents")):  # fmt: skip
        _key(qtbot, window, key, Qt.KeyboardModifier.ControlModifier)
        assert window.page().key == wanted


def test_every_page_name_is_spoken_with_state_and_place(window):
    names = {name.state.key: name for name in window.spine.findChildren(PageName)}
    assert names["plan"].accessibleName() == "Plan, sealed, 4 cook days, page 3 of 7"
    assert names["methods"].accessibleName() == "Methods, begun, 3 differ, page 2 of 7, open now"
    assert names["tasting"].accessibleName() == "Tasting, not begun, page 5 of 7"


def test_a_page_name_opens_its_page_by_keyboard_and_mouse(window, qtbot):
    names = {name.state.key: name for name in window.spine.findChildren(PageName)}
    qtbot.mouseClick(names["plan"], Qt.MouseButton.LeftButton)
    assert window.page().key == "plan"
    names["question"].setFocus()
    qtbot.keyClick(names["question"], Qt.Key.Key_Return)
    assert window.page().key == "question"


def test_the_loose_thread_leads_to_the_next_pair(window, qtbot):
    names = {name.state.key: name for name in window.spine.findChildren(PageName)}
    place = names["methods"].rect().center()
    place.setX(22)
    qtbot.mouseClick(names["methods"], Qt.MouseButton.LeftButton, pos=place)
    assert window.page().key == "plan"


def test_without_a_trial_only_contents_are_sewn_in(window):
    window.desk.go("contents", "")
    assert [n.state.key for n in window.spine._names] == ["contents"]


def test_f6_goes_from_spine_to_page_to_margin(window, qtbot):
    _key(qtbot, window, Qt.Key.Key_F6)
    assert window.spine.has_keyboard()
    _key(qtbot, window, Qt.Key.Key_F6)
    leaf = window.page().leaf
    assert leaf.page.isAncestorOf(QApplication.focusWidget())
    _key(qtbot, window, Qt.Key.Key_F6)
    assert leaf.margin.isAncestorOf(QApplication.focusWidget())
    _key(qtbot, window, Qt.Key.Key_F6)
    assert window.spine.has_keyboard()


def test_f7_and_enter_go_from_note_to_line(window, qtbot):
    qtbot.waitUntil(lambda: window.page().leaf.line_place("Rest for") is not None)
    _key(qtbot, window, Qt.Key.Key_F7)
    leaf = window.page().leaf
    note = QApplication.focusWidget()
    assert leaf.margin.isAncestorOf(note)
    _key(qtbot, window, Qt.Key.Key_Return)
    assert leaf.page.isAncestorOf(QApplication.focusWidget())
    assert QApplication.focusWidget().text() == "45 min"


def test_ctrl_enter_on_a_note_reaches_the_page(window, qtbot):
    _key(qtbot, window, Qt.Key.Key_F7)
    _key(qtbot, window, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert window.page().done == ("same", ("rest",))


def test_notes_stand_beside_their_lines(window, qtbot):
    leaf = window.page().leaf
    leaf.settle()
    for note in leaf.margin.notes():
        line = leaf.line_place(note.note.line)
        assert note.y() >= line.top()
        assert note.y() - line.top() < 120


def test_the_index_lists_verbs_in_order_and_filters(window, qtbot):
    _key(qtbot, window, Qt.Key.Key_F10)
    lines = [line.label() for line in window.page()._lines]
    assert lines == sorted(lines, key=str.casefold)
    assert "Open Plan" in lines
    qtbot.keyClicks(QApplication.focusWidget(), "plan op")
    assert [line.label() for line in window.page()._lines] == ["Open Plan"]
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert window.page().key == "plan"


def test_a_verb_that_cannot_be_done_says_why_in_the_index(window, qtbot):
    window.open_page("index")
    lines = {line.label(): line for line in window.page().leaf.findChildren(IndexLine)}
    assert "nothing to take back" in lines["Take the last step back"].accessibleDescription()


def test_steps_of_the_desk_are_taken_back_from_the_foot(window, qtbot):
    notebook = window.desk.notebook
    assert window.desk.take(_step("one")) is None
    foot = window.page().leaf.foot
    assert not foot._back.isHidden()
    foot._back.click()
    assert [str(step.label) for step in notebook.reverted] == ["one"]
    assert foot._back.isHidden()
    _key(qtbot, window, Qt.Key.Key_Z,
         Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)  # fmt: skip
    assert [str(step.label) for step in notebook.steps] == ["one", "one"]


def test_ctrl_z_takes_back_from_a_blank_in_which_nothing_was_typed(window, qtbot):
    window.open_page("question")
    window.desk.take(_step("one"))
    window.page().food.setFocus()
    _key(qtbot, window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert [str(step.label) for step in window.desk.notebook.reverted] == ["one"]


def test_a_barrier_ends_what_can_be_taken_back(window):
    window.desk.take(_step("one"))
    window.desk.take(_step("seal", barrier=True))
    assert not window.history.can_undo()
    window.desk.take(_step("two"))
    assert window.desk.pass_barrier(lambda: None) is None
    assert not window.history.can_undo()


def test_steps_of_others_are_not_on_the_stack(window):
    window.desk.take(_step("card", origin="phone"))
    assert not window.history.can_undo()
    assert len(window.desk.notebook.steps) == 1


def test_a_burst_is_taken_back_at_once(window):
    for number in range(3):
        window.desk.take(_step(f"typing {number}", burst="question.food"))
    window.history.undo()
    assert [str(step.label) for step in window.desk.notebook.reverted] == [
        "typing 2", "typing 1", "typing 0",
    ]  # fmt: skip
    assert not window.history.can_undo()


def test_a_refused_step_leaves_no_trace(window):
    window.desk.notebook.trouble = Refused(msg("No. Not written."))
    refused = window.desk.take(_step("one"))
    assert isinstance(refused, Refused)
    assert not window.history.can_undo()
    assert window.strip.isHidden()


def test_trouble_with_the_file_is_a_strip_over_the_page(window):
    window.desk.notebook.trouble = FileTrouble(msg("The disk is full."))
    window.desk.take(_step("one"))
    assert window.strip.isVisible()
    assert window.strip.accessibleName() == "The disk is full."
    assert window.leaves.y() == window.strip.height()
    window.strip._button.click()
    assert window.strip.isHidden()


def test_undo_that_fails_says_so_and_is_dropped(window):
    window.desk.take(_step("one"))
    window.desk.notebook.trouble = FileTrouble(msg("The disk is full."))
    window.history.undo()
    assert window.strip.isVisible()
    assert not window.history.can_undo()


def test_a_verb_not_yet_says_why_when_it_has_focus(window):
    window.open_page("tasting")
    leaf = window.page().leaf
    verb = leaf.head.verbs()["open"]
    verb.setFocus()
    assert leaf.head._subtitle.words() == "11 score cards are still out"
    assert verb.accessibleDescription() == "11 score cards are still out"
    done = []
    leaf.verb.connect(done.append)
    verb.click()
    assert done == []
    leaf.head.verbs()["print"].setFocus()
    assert leaf.head._subtitle.words().startswith("Sitting 2")


def test_one_verb_is_due_and_pressing_it_reaches_the_page(window, qtbot):
    leaf = window.page().leaf
    verb = leaf.head.verbs()["part"]
    assert isinstance(verb, Verb)
    qtbot.mouseClick(verb, Qt.MouseButton.LeftButton)
    assert window.page().done == ("part", ())


@pytest.mark.parametrize(
    ("window_px", "names", "margin", "folded"),
    [(1600, 192, 344, False), (1280, 184, 300, False), (1100, 184, 260, False),
     (950, 184, 34, True), (820, 0, 34, True)],
)  # fmt: skip
def test_margin_and_names_fold_with_the_width(window_px, names, margin, folded):
    found = widths(window_px)
    assert (found.names, found.margin, found.margin_folded) == (names, margin, folded)


def test_larger_text_folds_the_margin_first_then_the_names():
    assert widths(1280, text_factor=1.35).margin_folded
    assert widths(1280, text_factor=1.35).names > 0
    assert widths(1280, text_factor=2.0).names == 0


@pytest.mark.parametrize("size", [(800, 600), (1000, 700), (1280, 800), (1920, 1080)])
def test_the_page_is_never_wider_than_its_place(window, qtbot, size):
    window.resize(*size)
    leaf = window.page().leaf
    leaf.settle()
    assert leaf.page.width() <= 1200
    assert leaf.page.x() + leaf.page.width() <= leaf.width()
    assert leaf.margin.x() + leaf.margin.width() <= leaf.width()


def test_folded_names_show_themselves_while_they_have_the_keyboard(window, qtbot):
    window.resize(820, 700)
    assert window.spine.width() == 44
    _key(qtbot, window, Qt.Key.Key_F6)
    assert window.spine.width() > 200
    _key(qtbot, window, Qt.Key.Key_F6)
    assert window.spine.width() == 44


def test_a_folded_margin_opens_over_the_page_and_closes_again(window, qtbot):
    window.resize(900, 700)
    leaf = window.page().leaf
    leaf.settle()
    assert leaf.margin.is_folded()
    _key(qtbot, window, Qt.Key.Key_F7)
    assert not leaf.margin.is_folded()
    assert leaf.margin.width() > 250
    _key(qtbot, window, Qt.Key.Key_F6)
    qtbot.waitUntil(leaf.margin.is_folded)


def test_counter_size_folds_both_and_turns_back(window, qtbot):
    _key(qtbot, window, Qt.Key.Key_F11, Qt.KeyboardModifier.ShiftModifier)
    assert theme.is_counter()
    assert window.spine.width() == 44
    assert window.desk.settings.on("counter_size")
    _key(qtbot, window, Qt.Key.Key_F11, Qt.KeyboardModifier.ShiftModifier)
    assert not theme.is_counter()


def test_what_is_written_while_the_window_closes_is_written(book, qtbot):
    window = sample_window()
    window.show()
    window.open_page("question")
    qtbot.waitUntil(window.isActiveWindow)
    food = window.page().food
    written = []
    food.committed.connect(written.append)
    food.setFocus()
    food.selectAll()
    qtbot.keyClicks(food, "lamb")
    window.close()
    assert written == ["lamb"]
    window.deleteLater()


def test_size_and_last_page_are_kept(book, qtbot, tmp_path):
    file = tmp_path / "settings.ini"
    window = sample_window(Settings(file))
    window.resize(800, 700)
    window.show()
    window.open_page("plan")
    window.close()
    window.deleteLater()
    kept = Settings(file)
    assert (kept.text("last_page"), kept.text("last_trial")) == ("plan", "14")
    again = sample_window(kept)
    assert (again.width(), again.height()) == (800, 700)
    again.close()
    again.deleteLater()


def test_nothing_is_left_of_a_closed_window(book, qtbot):
    window = sample_window()
    window.show()
    for key in ("contents", "question", "methods", "plan", "cook", "tasting", "findings"):
        window.open_page(key)
    qtbot.waitUntil(lambda: not window.background.is_busy(), timeout=20_000)
    notebook = window.desk.notebook
    window.close()
    with qtbot.waitSignal(window.destroyed):
        window.deleteLater()
    assert notebook.listeners == []


def test_the_index_lists_what_the_page_can_do_and_does_it_there(window, qtbot, monkeypatch):
    done = []
    own = VerbEntry("own", msg("Weigh the spoon"), lambda: done.append(window.page().key))
    monkeypatch.setattr(window.page(), "verbs", lambda: (own,))
    window.open_page("methods")
    _key(qtbot, window, Qt.Key.Key_F10)
    qtbot.keyClicks(QApplication.focusWidget(), "spoon")
    _key(qtbot, window, Qt.Key.Key_Return)
    assert done == ["methods"]


def test_esc_takes_the_words_of_the_index_back_and_then_leaves_it(window, qtbot):
    _key(qtbot, window, Qt.Key.Key_F10)
    qtbot.keyClicks(QApplication.focusWidget(), "plan op")
    _key(qtbot, window, Qt.Key.Key_Escape)
    assert window.page().key == "index"
    assert len(window.page()._lines) > 1
    _key(qtbot, window, Qt.Key.Key_Escape)
    assert window.page().key == "methods"


def test_the_keyboard_goes_with_the_page_that_is_opened(window, qtbot):
    window.spine.focus_open()
    _key(qtbot, window, Qt.Key.Key_3, Qt.KeyboardModifier.ControlModifier)
    leaf = window.page().leaf
    assert leaf.page is QApplication.focusWidget() or leaf.page.isAncestorOf(
        QApplication.focusWidget()
    )
    assert not isinstance(QApplication.focusWidget(), Verb)


def test_a_touch_of_bare_paper_leaves_tab_on_the_page(window, qtbot):
    leaf = window.page().leaf
    window.spine.focus_open()
    qtbot.mouseClick(leaf.page, Qt.MouseButton.LeftButton, pos=leaf.page.rect().bottomRight())
    _key(qtbot, window, Qt.Key.Key_Tab)
    assert leaf.page.isAncestorOf(QApplication.focusWidget())
