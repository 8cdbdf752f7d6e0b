"""The timetable by keyboard and mouse: the moment typed, the list read, a piece late, the file."""

import pytest
from icalendar import Calendar
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import choose, desk, focused, pressed, rewrite, show, write
from tests.journeys.trials import asked, drawn, planned
from trialbench.findings.of_trial import reckon
from trialbench.model.message import say
from trialbench.model.records import Cook, Expected, Replan
from trialbench.notebook import views
from trialbench.notebook.acts import serving, stages

ENTER, DOWN = Qt.Key.Key_Return, Qt.Key.Key_Down
HOUR = 3600.0
MOMENT = "Sunday 7 March 2027, 12:00"


def _stages(book, trial_id) -> None:
    for kind, values in (
        ("salt", {"place": "fridge", "duration_s": 24 * HOUR}),
        ("roast", {"place": "oven", "set_temp_c": 120.0, "end_core_c": 92.0}),
        ("hold", {"place": "cabinet", "set_temp_c": 65.0, "duration_s": 8 * HOUR}),
        ("sear", {"place": "hot oven", "set_temp_c": 230.0, "duration_s": 720.0}),
        ("slice", {"place": "board", "slice_mm": 8.0}),
    ):
        book.apply(stages.add_stage(book, trial_id, kind, values=values))


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = asked(notebook)
        _stages(notebook, trial_id)
        planned(notebook, trial_id, planned_cooks="2", pieces_each="1")
        drawn(notebook, trial_id)
        notebook.apply(serving.set_zone(notebook, "Europe/London"))
        yield show(qtbot, window, "timetable", trial_id)


def _lines(page) -> list[str]:
    said = (f"{row.time.words()} {row.sentence.words()}" for row in page.list.rows())
    return [" ".join(line.replace("\u00a0", " ").split()) for line in said]


def _notes(page) -> str:
    margin = page.margin()
    return " ".join(say(s) for n in margin.notes for s in (n.label, *n.sentences))


def _moment(qtbot, page, typed=MOMENT) -> None:
    page.moment.setFocus()
    rewrite(qtbot, typed, ENTER)


def _expected(qtbot, page, typed="9 h") -> None:
    (line,) = (n.line for n in page.margin().notes if "how long?" in say(n.label))
    page.do("go_to", (line,))
    write(qtbot, typed, ENTER)


def _cook(page) -> Cook:
    return page.desk.notebook.get(Cook, page.table.cook.id)


def _reckoned(qtbot, page) -> None:
    _moment(qtbot, page)
    _expected(qtbot, page)


def test_the_page_is_reached_from_the_plan_and_goes_back(page, qtbot):
    window = page.leaf.window()
    plan = show(qtbot, window, "plan", page.desk.trial_id)
    pressed(qtbot, plan.timetable, "Timetable of each cook day")
    assert window.page() is page
    qtbot.mouseClick(page.leaf.head.verbs()["back"], Qt.MouseButton.LeftButton)
    assert window.page() is plan


def test_before_a_moment_is_typed_the_order_stands_and_what_is_wanted_is_said(page):
    assert _lines(page)[0].startswith("\u2013 Salt A and B")
    assert _lines(page)[-1] == "\u2013 To the table."
    assert page.leaf.head.verbs()["calendar"].why() == "Write when it is to be on the table."
    assert "Write when it is to be on the table" in say(page.margin().standing)
    assert page.late.isHidden()


def test_a_moment_typed_in_one_blank_reckons_back_and_asks_for_what_is_not_known(page, qtbot):
    _moment(qtbot, page, "7 March 2027 at 12:00")
    assert _cook(page).serve_utc == "2027-03-07T12:00:00.000Z"
    assert page.moment.text() == MOMENT
    lines = _lines(page)
    assert lines[0].startswith("\u2013 Salt") and "How long" not in lines[0]
    assert "Sun 03:48 A and B out at 92 °C inside. Hold A and B (P01, P02)" in lines[2]
    assert lines[-1] == "12:00 To the table."
    _expected(qtbot, page)
    (expected,) = page.desk.notebook.all(Expected)
    assert (expected.duration_s, expected.method_id) == (9 * HOUR, None)
    assert [line[:10].strip() for line in _lines(page)[:2]] == ["Fri 18:48", "Sat 18:48"]
    window = page.leaf.window()
    window.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert page.desk.notebook.all(Expected) == ()
    assert _lines(page)[0].startswith("\u2013 Salt")


def test_what_can_be_read_in_two_ways_is_asked_in_place_and_one_is_taken(page, qtbot):
    _moment(qtbot, page, "7/3/2027 12:00")
    assert _cook(page).serve_utc == ""
    assert page.moment.is_refused() and page.moment.text() == "7/3/2027 12:00"
    below = page.moment.below()
    assert "Saturday 3 July 2027, 12:00" in below.words() or "July" in below.words()
    pressed(qtbot, below, MOMENT)
    assert _cook(page).serve_utc == "2027-03-07T12:00:00.000Z"
    assert not page.moment.is_refused() and page.moment.text() == MOMENT
    assert page.desk.notebook.drafts == {}


def test_a_doubled_hour_is_asked_and_the_second_one_can_be_taken(page, qtbot):
    _moment(qtbot, page, "31 October 2027 01:30")
    pressed(qtbot, page.moment.below(), "Sunday 31 October 2027, 01:30, after the clock goes back")
    assert _cook(page).serve_utc == "2027-10-31T01:30:00.000Z"
    assert "after the clock goes back" in _lines(page)[-1]


def test_a_half_typed_moment_is_there_again_after_the_window_closed(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = asked(window.desk.notebook)
        _stages(window.desk.notebook, trial_id)
        planned(window.desk.notebook, trial_id, planned_cooks="1")
        page = show(qtbot, window, "timetable", trial_id)
        page.moment.setFocus()
        qtbot.keyClicks(focused(), "Sunday 7 Ma")
    with desk(qtbot, tmp_path) as window:
        assert show(qtbot, window, "timetable", trial_id).moment.text() == "Sunday 7 Ma"


def test_the_list_is_read_line_by_line_with_the_arrows(page, qtbot):
    _reckoned(qtbot, page)
    rows = page.list.rows()
    rows[0].setFocus()
    for row in rows[1:4]:
        qtbot.keyClick(focused(), DOWN)
        assert focused() is row
    assert focused().accessibleName().replace("\u00a0", " ") == (
        "11:48, Sear A and B (P01, P02) in the hot oven, 230 °C, 12 min., strand A and B"
    )
    assert "Strand A: Fridge 24 h, Oven about 9 h, Cabinet 8 h" in (
        page.list.accessibleDescription()
    )


def test_served_late_the_list_moves_and_the_finding_names_the_rider(page, qtbot):
    _reckoned(qtbot, page)
    _late(qtbot, page, "25 min", "a stall")
    pressed(qtbot, page.late, "Serve late")
    assert _lines(page)[-1] == "12:25 To the table."
    (made,) = page.desk.notebook.all(Replan)
    assert (made.choice, made.late_s, made.reason) == ("serve_late", 1500.0, "a stall")
    rider = "B ran 25 min late in the roast (a stall), and all was served later: the hold of A"
    assert rider in _notes(page)
    found = reckon(page.desk.notebook, page.desk.trial_id)
    assert any(rider in say(each) for each in found.cautions)
    assert page.desk.notebook.drafts == {}
    page.late.reasons[made.id]._blank.setFocus()
    rewrite(qtbot, "the fire went out", ENTER)
    assert page.desk.notebook.get(Replan, made.id).reason == "the fire went out"
    assert "the fire went out" in _notes(page)
    pressed(qtbot, page.late, "It was not late")
    assert page.desk.notebook.all(Replan) == () and page.late.isHidden()
    assert _lines(page)[-1] == "12:00 To the table."


def test_a_longer_hold_for_the_other_keeps_the_moment(page, qtbot):
    _reckoned(qtbot, page)
    _late(qtbot, page, "25 min")
    pressed(qtbot, page.late, "A longer hold for the other")
    lines = _lines(page)
    assert lines[-1] == "12:00 To the table."
    assert any("Hold B (P02)" in line and "7 h 35 min" in line for line in lines) or any(
        "Hold B (P01)" in line and "7 h 35 min" in line for line in lines
    )
    assert "the hold of B 25 min shorter" in _notes(page)


def test_a_hold_that_cannot_give_so_much_says_so_and_cannot_be_taken(page, qtbot):
    _reckoned(qtbot, page)
    _late(qtbot, page, "9 h")
    assert list(page.late.buttons) == ["serve_late", "drop"]


def test_dropped_its_strand_ends_and_it_is_not_served(page, qtbot):
    _reckoned(qtbot, page)
    _late(qtbot, page, "2 h")
    pressed(qtbot, page.late, "Drop it")
    assert not any(" B " in line for line in _lines(page)[3:])
    cook = _cook(page)
    gone = views.dropped(page.desk.notebook, cook.id)
    pieces = views.pieces(page.desk.notebook, cook.id)
    assert [p.id in gone for p in pieces] == [
        views.method_of_piece(page.desk.notebook, p).letter == "B" for p in pieces
    ]
    assert "It was dropped." in _notes(page)


def test_how_late_is_refused_in_place_and_what_is_typed_is_kept(page, qtbot):
    _reckoned(qtbot, page)
    _late(qtbot, page, "25")
    assert page.late.by.is_refused() and page.late.buttons == {}
    assert page.desk.notebook.draft(f"cook:{_cook(page).id}:late") == "25"
    page.late.by.setFocus()
    rewrite(qtbot, "25 min", ENTER)
    assert not page.late.by.is_refused() and len(page.late.buttons) == 3


def _late(qtbot, page, by, why=""):
    """B is late in the roast, as said by keyboard."""
    pressed(qtbot, page.first, "Something runs late")
    assert focused() is page.late.what
    b = views.methods(page.desk.notebook, page.desk.trial_id)[1]
    choose(qtbot, page.late.what, b.id)
    assert say(page.late.stage.words()) == "the roast"
    page.late.by.setFocus()
    write(qtbot, by, ENTER)
    if why:
        page.late.why.setFocus()
        write(qtbot, why, ENTER)


def test_two_things_in_one_oven_are_marked_and_take_turns_on_a_verb(page, qtbot):
    book = page.desk.notebook
    _reckoned(qtbot, page)
    sear = next(s for s in views.stages(book, page.desk.trial_id) if s.stage_kind == "sear")
    book.apply(stages.part_line(book, sear.id, "set_temp_c"))
    b = views.methods(book, page.desk.trial_id)[1]
    book.apply(stages.set_value(book, sear.id, "set_temp_c", "200", b.id))
    (note,) = (n for n in page.margin().notes if "two things want" in say(n.label))
    page.leaf.verb.emit(note.verbs[0])
    QApplication.processEvents()
    assert _cook(page).turns
    assert "two things want" not in _notes(page) and "waits" in _notes(page)
    assert any(line.startswith("11:36 Sear") for line in _lines(page))


def test_the_calendar_file_is_written_where_it_is_asked_for(
    page, qtbot, tmp_path, answer_dialog, monkeypatch
):
    _reckoned(qtbot, page)
    target = tmp_path / "wall"
    answer_dialog((str(target), ""))
    qtbot.mouseClick(page.leaf.head.verbs()["calendar"], Qt.MouseButton.LeftButton)
    written = Calendar.from_ical((tmp_path / "wall.ics").read_bytes())
    assert len(written.walk("VEVENT")) == len(page.acts)
    assert "Written:" in page.written.words()
    assert page.desk.settings.text("last_folder") == str(tmp_path)


def test_a_calendar_file_that_nobody_was_asked_about_is_not_written_over(
    page, qtbot, tmp_path, answer_dialog
):
    _reckoned(qtbot, page)
    there = tmp_path / "wall.ics"
    there.write_text("another calendar", encoding="utf-8")
    answer_dialog((str(tmp_path / "wall"), ""))
    with qtbot.waitSignal(page.desk.trouble) as told:
        qtbot.mouseClick(page.leaf.head.verbs()["calendar"], Qt.MouseButton.LeftButton)
    assert "is there already" in say(told.args[0].message)
    assert there.read_text(encoding="utf-8") == "another calendar"


def test_without_stages_or_days_the_page_says_where_to_write_them(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = asked(window.desk.notebook)
        page = show(qtbot, window, "timetable", trial_id)
        assert "There is no cook day yet." in page.empty.words()
        planned(window.desk.notebook, trial_id, planned_cooks="1")
        assert "stages of the Methods page" in page.empty.words()
        pressed(qtbot, page.empty, "Write the methods")
        assert window.page().key == "methods"
