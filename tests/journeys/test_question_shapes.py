"""The Question page by keyboard: settings, further ideas, targets, the order of the Tab key."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import (
    begun,
    choose,
    desk,
    focused,
    pressed,
    rewrite,
    show,
    write,
)
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.views import shapes as seen


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "question", begun(window.desk.notebook))


def _trial(page) -> Trial:
    return page.desk.notebook.get(Trial, page.desk.trial_id)


def _names(page) -> list[str]:
    return [m.name for m in views.methods(page.desk.notebook, page.desk.trial_id)]


def _which_setting(qtbot, page) -> None:
    write(qtbot, "octopus arms")
    write(qtbot, "simmered for four hours")
    pressed(qtbot, page.rows["kind"].row, "which setting")


def test_one_thing_at_several_settings_is_written_with_the_tab_key(page, qtbot):
    _which_setting(qtbot, page)
    assert page.sentence._lines["idea"].isHidden()
    line = page.sentence.factors.lines[0]
    line.name.setFocus()
    for text in ("temperature", "77 °C", "88", "95"):
        write(qtbot, text)
    assert _names(page) == ["77 °C", "88 °C", "95 °C"]
    trial = _trial(page)
    assert (trial.question, trial.shape, trial.idea) == ("which_setting", "ordered", "temperature")
    assert focused() in line.blanks() and focused().text() == ""
    qtbot.keyClick(focused(), Qt.Key.Key_Tab)
    write(qtbot, "more tender")
    write(qtbot, "1 point in 10", Qt.Key.Key_Return)
    assert seen.is_asked(page.desk.notebook, _trial(page))
    assert "3 methods" in page.rows["makes"].row.line.words()


def test_enter_goes_on_in_the_next_place(page, qtbot):
    _which_setting(qtbot, page)
    line = page.sentence.factors.lines[0]
    line.places[0].setFocus()
    qtbot.keyClicks(focused(), "dry")
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    qtbot.keyClicks(focused(), "covered")
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    assert _names(page) == ["dry", "covered"]


def test_two_things_are_crossed_and_one_is_left_out_again(page, qtbot):
    _which_setting(qtbot, page)
    line = page.sentence.factors.lines[0]
    line.name.setFocus()
    for text in ("medium", "stock", "bag"):
        write(qtbot, text)
    pressed(qtbot, page.rows["settings"].row, "cross it with a second thing")
    qtbot.waitUntil(lambda: focused() is page.sentence.factors.lines[1].name)
    for text in ("temperature", "77 °C", "88 °C"):
        write(qtbot, text)
    assert _names(page) == ["stock, 77 °C", "stock, 88 °C", "bag, 77 °C", "bag, 88 °C"]
    assert _trial(page).shape == "crossed"
    pressed(qtbot, page.rows["settings"].row, "leave it out")
    assert _names(page) == ["stock", "bag"]
    assert page.sentence.factors.lines[1].isHidden()


def test_a_setting_that_cannot_be_stays_in_sight(page, qtbot):
    _which_setting(qtbot, page)
    line = page.sentence.factors.lines[0]
    line.places[0].setFocus()
    write(qtbot, "77 °C")
    write(qtbot, "hot")
    refused = line.places[1]
    assert refused.is_refused() and "is no number" in refused.below().words()
    pressed(qtbot, refused.below(), "Keep what was there")
    assert not refused.is_refused() and _trial(page).shape == "ordered"
    refused.setFocus()
    write(qtbot, "77")
    assert "stands here already" in refused.below().words()


def test_a_setting_is_changed_and_emptied(page, qtbot):
    _which_setting(qtbot, page)
    line = page.sentence.factors.lines[0]
    line.places[0].setFocus()
    for text in ("60 °C", "65 °C", "70 °C"):
        write(qtbot, text)
    line.places[1].setFocus()
    rewrite(qtbot, "66", Qt.Key.Key_Return)
    assert _names(page) == ["60 °C", "66 °C", "70 °C"]
    line.places[0].setFocus()
    rewrite(qtbot, "", Qt.Key.Key_Return)
    assert _names(page) == ["66 °C", "70 °C"]
    assert line.places[0].text() == "66 °C"


def test_what_is_varied_is_given_its_line_of_the_methods(page, qtbot):
    _which_setting(qtbot, page)
    line = page.sentence.factors.lines[0]
    line.name.setFocus()
    for text in ("temperature", "77 °C", "88 °C"):
        write(qtbot, text)
    choose(qtbot, page.rows["settings"].choices[0]["stage"], "simmer")
    book, trial_id = page.desk.notebook, page.desk.trial_id
    stage = views.stages(book, trial_id)[0]
    assert [p.number for p in views.parts(book, stage.id, "set_temp_c")] == [77.0, 88.0]
    choose(qtbot, page.rows["settings"].choices[0]["field"], "end_core_c")
    assert [p.number for p in views.parts(book, stage.id)] == [77.0, 88.0]
    assert views.parts(book, stage.id, "set_temp_c") == ()
    choose(qtbot, page.rows["settings"].choices[0]["field"], "duration_s")
    says = page.rows["settings"].row._says
    assert says.isVisible() and "cannot be read" in says.words()


def test_half_a_setting_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "question", begun(window.desk.notebook))
        _which_setting(qtbot, page)
        trial_id = page.desk.trial_id
        line = page.sentence.factors.lines[0]
        line.places[0].setFocus()
        write(qtbot, "dry")
        line.places[1].setFocus()
        qtbot.keyClicks(focused(), "cover")
        line.places[1].blockSignals(True)
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "question", trial_id)
        line = page.sentence.factors.lines[0]
        assert [b.text() for b in line.blanks()] == ["", "dry", "cover", ""]
        assert focused() is line.places[1]
        line.places[1].blockSignals(True)


def test_another_idea_is_added_and_held_against_my_way(page, qtbot):
    for text in ("ribs", "bare", "in paper", "better liked"):
        write(qtbot, text)
    write(qtbot, "half a point", Qt.Key.Key_Return)
    assert page.rows["compares"].row.isHidden()
    pressed(qtbot, page.sentence, "another idea")
    write(qtbot, "in foil", Qt.Key.Key_Return)
    assert _names(page) == ["bare", "in paper", "in foil"]
    pressed(qtbot, page.rows["compares"].row, "each against my way")
    trial = _trial(page)
    assert (trial.compares, trial.shape) == ("with_usual", "several")
    assert page.rows["compares"].usual.words() == "A bare"
    page.sentence.ideas._blanks[0].setFocus()
    rewrite(qtbot, "", Qt.Key.Key_Return)
    assert _names(page) == ["bare", "in paper"]
    assert page.rows["compares"].row.isHidden()


def test_closest_to_a_target_asks_for_it(page, qtbot):
    for text in ("pork", "12 g/kg", "15 g/kg", "saltier"):
        write(qtbot, text)
    write(qtbot, "half a point", Qt.Key.Key_Return)
    decides = page.rows["decides"]
    choose(qtbot, decides._choices["better"], "target")
    qtbot.waitUntil(lambda: focused() is decides.target)
    assert not seen.is_asked(page.desk.notebook, _trial(page))
    write(qtbot, "12", Qt.Key.Key_Return)
    assert decides.target.is_refused()
    rewrite(qtbot, "5", Qt.Key.Key_Return)
    assert page.sentence.blanks["came_out"].text() == "closer to 5 in saltiness"
    assert views.deciding(page.desk.notebook, page.desk.trial_id).target == 5.0


def test_what_tells_why_is_a_click_and_five_are_enough(page, qtbot):
    for text in ("white beans", "soaked cold", "soaked hot", "better liked"):
        write(qtbot, text)
    row = page.rows["others"]
    for name in ("creaminess", "softness", "mealiness"):
        pressed(qtbot, row.row, name)
    others = views.other_outcomes(page.desk.notebook, page.desk.trial_id)
    assert [o.name for o in others] == ["creaminess", "softness", "mealiness"]
    with pytest.raises(LookupError):
        pressed(qtbot, row.row, "saltiness")
    for name in ("saltiness", "flavour", "browning"):
        choose(qtbot, row._add, name)
    labels = [say(note.label) for note in page.margin().notes if note.line == "else"]
    assert labels == ["6 more: five are enough"]


def test_half_a_point_is_taken_from_the_margin(page, qtbot):
    for text in ("ribs", "bare", "in paper", "better liked"):
        write(qtbot, text)
    note = next(n for n in page.margin().notes if n.line == "matters")
    assert "half a point in 9" in say(note.sentences[1])
    page.do(note.verbs[0].name, note.verbs[0].args)
    assert _trial(page).matters == 0.5


def test_a_reference_sample_is_asked_in_one_line(page, qtbot):
    for text in ("ribs", "bare", "in paper", "better liked"):
        write(qtbot, text)
    assert page.rows["reference"].row.isHidden()
    page.leaf.window().verbs.entry("reference").handler()
    write(qtbot, "boiled ham", Qt.Key.Key_Return)
    assert _trial(page).reference == "boiled ham"


def test_where_this_trial_departs_from_what_was_learned(page, qtbot):
    for text in ("ribs", "bare", "in paper", "better liked"):
        write(qtbot, text)
    row = page.rows["origin"]
    assert row.departs == {}
    choose(qtbot, row._choices[1], "learned")
    b = views.methods(page.desk.notebook, page.desk.trial_id)[1]
    row.departs[b.id]._blank.setFocus()
    write(qtbot, "an hour longer", Qt.Key.Key_Return)
    assert views.methods(page.desk.notebook, page.desk.trial_id)[1].departs == "an hour longer"


def test_tab_walks_the_whole_page_as_the_eye_does(page, qtbot):
    for text in ("ribs", "bare", "in paper", "better liked"):
        write(qtbot, text)
    write(qtbot, "half a point", Qt.Key.Key_Return)
    page.sentence.blanks["food"].setFocus(Qt.FocusReason.TabFocusReason)
    walked = [focused()]
    for _ in range(40):
        qtbot.keyClick(focused(), Qt.Key.Key_Tab)
        QApplication.processEvents()
        walked.append(focused())
        if focused() is page.rows["chapter"]._value:
            break
    rows = page.rows
    decides, card = rows["decides"]._choices, rows["card"]
    wanted = [
        *page.sentence.blanks.values(), *rows["kind"]._options, decides["what"], decides["scale"],
        decides["better"], rows["others"]._add, card._choices["which"],
        *(w._blank for w in card._writings.values()), rows["origin"]._choices[0],
        rows["chapter"]._value,
    ]  # fmt: skip
    places = [walked.index(part) for part in wanted]
    assert places == sorted(places)
