"""Parts that are read: contents lines, tables, pictures, drawings."""

import pytest
from PySide6.QtCore import QSize, Qt

from tests.ui.sample_reading import _draw
from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.background import Background
from trialbench.ui.contents_line import ContentsLine
from trialbench.ui.cord import Cord, CordShape, CordStage
from trialbench.ui.envelope import Envelope
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.pair_block import PairBlock, PairHalf
from trialbench.ui.signs import MethodSign
from trialbench.ui.strands import strand_pen
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.thread import ThreadPicture


def _inked(widget, colour) -> int:
    """How many pixels of a colour a widget paints."""
    image = widget.grab().toImage()
    wanted = colour.name()
    return sum(
        image.pixelColor(x, y).name() == wanted
        for x in range(image.width())
        for y in range(image.height())
    )


def test_a_contents_line_opens_and_says_all_it_shows(book, qtbot):
    line = ContentsLine(msg("Does it stay juicier?"), "14", msg("Cooking now"))
    qtbot.addWidget(line)
    line.resize(500, line.heightForWidth(500))
    line.show()
    assert line.accessibleName() == "Does it stay juicier?"
    assert line.accessibleDescription() == "14, Cooking now"
    with qtbot.waitSignal(line.clicked):
        qtbot.keyClick(line, Qt.Key.Key_Return)


def test_a_long_question_takes_more_lines(book, qtbot):
    short = ContentsLine("Juicier?", "1")
    long = ContentsLine("Does pork shoulder held in its juices stay juicier " * 3, "14")
    for line in (short, long):
        qtbot.addWidget(line)
    assert long.heightForWidth(400) > 2 * short.heightForWidth(400)


def test_found_words_have_colour_under_them(book, qtbot):
    line = ContentsLine("Does it stay juicier?", "14", mark="JUIC")
    qtbot.addWidget(line)
    line.resize(400, 40)
    assert _inked(line, theme.colour("mark")) > 50


def test_a_reading_table_gives_every_row_its_words(book, qtbot):
    columns = [ReadingColumn(msg("outcome")), ReadingColumn(msg("B over A"), 100, align="right")]
    table = ReadingTable(columns, [["Juiciness", "+1.2"], ["Tenderness " * 20, "+0.6"]])
    qtbot.addWidget(table)
    table.resize(300, table.heightForWidth(300))
    assert "outcome, B over A" in table.accessibleName()
    first, second = table.row_rect(0), table.row_rect(1)
    assert first.height() == 40
    assert second.height() > 60
    assert second.top() == first.bottom() + 1
    table.show_rows([["Saltiness", "+0.1"]])
    assert table.heightForWidth(300) < 100


def test_a_figure_is_drawn_at_the_screens_pixels_and_shown_as_table(book, qtbot):
    background = Background()
    view = FigureView(background, "test", 200)
    qtbot.addWidget(view)
    table = FigureTable((ReadingColumn("cook days"), ReadingColumn("points")), (("3", "2.1"),))
    view.show_figure(_draw, msg("Three cook days find 2.1 points."), table)
    view.resize(500, 300)
    view.show()
    qtbot.waitUntil(view.has_picture, timeout=20_000)
    qtbot.waitUntil(lambda: not background.is_busy())
    image = view._picture.image
    assert image.size() == QSize(500, 200) * view.devicePixelRatioF()
    assert view.accessibleName() == "Three cook days find 2.1 points."
    view._verb.click()
    assert view._picture.isHidden()
    assert view._table.isVisible()
    view._verb.click()
    assert view._picture.isVisible()
    background.close()
    background.deleteLater()


@pytest.mark.parametrize("letter", "ABCD")
def test_a_sign_is_painted_in_the_colour_of_its_method(book, qtbot, letter):
    sign = MethodSign(letter, "Dry cabinet")
    qtbot.addWidget(sign)
    for name in ("light", "dark"):
        theme.set_choice(name)
        assert _inked(sign, theme.method_colour(letter)) > 20
    assert sign.accessibleName() == f"method {letter} Dry cabinet"


def test_dashes_are_divided_by_the_pen_width(book):
    pen = strand_pen("B", 2.4)
    assert pen.widthF() == pytest.approx(2.4 * 1.45)
    assert [dash * pen.widthF() for dash in pen.dashPattern()] == pytest.approx([7, 1.9])


def test_the_cord_shows_both_methods_together_and_apart(book, qtbot):
    stages = (CordStage(0, msg("Salt"), (("24 h", "pencil"),)),)
    for parts in (None, (0.4, 0.8), (0.4, 1.0)):
        cord = Cord(CordShape("AB", parts, stages), msg("A and B"))
        qtbot.addWidget(cord)
        cord.resize(500, cord.sizeHint().height())
        assert _inked(cord, theme.method_colour("A")) > 300
        assert _inked(cord, theme.method_colour("B")) > 300
        assert cord.accessibleName() == "A and B"


def test_a_pair_names_both_pieces_and_methods(book, qtbot):
    pair = PairBlock(PairHalf("A", "P01", "upper"), PairHalf("B", "P02"), msg("day 1, pair 1"))
    qtbot.addWidget(pair)
    assert pair.accessibleName() == "day 1, pair 1, P01: method A, upper, P02: method B"
    pair.resize(278, 39)
    image = pair.grab().toImage()
    assert image.pixelColor(4, 4).name() == theme.method_tint("A").name()
    assert image.pixelColor(274, 34).name() == theme.method_tint("B").name()


def test_the_envelope_has_one_stitch_a_card_and_says_so(book, qtbot):
    envelope = Envelope()
    qtbot.addWidget(envelope)
    envelope.resize(600, 92)
    inks = []
    for done in (0, 10, 20):
        envelope.show_key(done, 20, sealed=msg("Key sealed at 12:04"))
        inks.append(_inked(envelope, theme.colour("ink")))
        assert f"{done} of 20" in envelope.accessibleName()
        assert "sealed" in envelope.accessibleName()
    assert inks[0] < inks[1] < inks[2]
    envelope.show_key(20, 20, sealed=msg("Key"), is_open=True)
    assert "open" in envelope.accessibleName()


def test_a_thread_stands_where_its_numbers_are(book, qtbot):
    picture = ThreadPicture(1.0, (0.0, 2.0), (0.5, 1.5), 0.8, (-2.0, 2.0), msg("juicier"))
    qtbot.addWidget(picture)
    picture.resize(400, 32)
    image = picture.grab().toImage()
    ink = theme.colour("ink").name()
    assert image.pixelColor(300, 6).name() == ink
    assert image.pixelColor(360, 6).name() != ink
    assert image.pixelColor(250, 3).name() == theme.colour("margin").name()
