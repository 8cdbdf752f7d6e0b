"""What everything is painted with: colours, type, sizes, from resources/look/tokens.json.

`install(app)` is called once, before the first widget. After it `colour`, `font`, `px` and the
method helpers answer for the theme that holds now; widgets that keep nothing repaint by
themselves, those that lay out by type listen to `signals().theme_changed`.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any, Literal

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication

from trialbench import paths

Choice = Literal["system", "light", "dark"]
METHODS = "ABCD"
_ITALIC_ROLES = frozenset({"contents_answer", "standing_sentence", "question_hint"})
# Sizes that the look gives in words: px, line px, voice, weight.
_MORE_ROLES: dict[str, tuple[float, float, str, int]] = {
    "question_filled": (25, 60, "answering", 500),
    "question_hint": (22, 60, "answering", 400),
    "sentence_figure": (19, 32, "answering", 600),
    "subtitle": (15, 20, "writing", 400),
    "page_name": (15, 20, "writing", 500),
    "label_title": (15, 19, "answering", 500),
    "column_head": (13, 18, "writing", 500),
    "figure": (20, 24, "writing", 400),
}
_FEATURES = {"writing": ("lnum", "tnum"), "answering": ("lnum",)}


@cache
def tokens() -> dict[str, Any]:
    """The table of the look: colour, type_px, line_px, size_px, motion_ms, sign."""
    text = paths.resource("look", "tokens.json").read_text(encoding="utf-8")
    value: dict[str, Any] = json.loads(text)
    return value


class _Now:
    """The values that hold now; plain data, no Qt object."""

    choice: Choice = "system"
    name: str = "light"
    contrast: bool = False
    counter: bool = False
    text_factor: float = 1.0
    still: bool = False
    colours: dict[str, QColor] = {}
    dpi: float = 96.0


class ThemeSignals(QObject):
    """Says once to the whole program that colours or sizes have changed."""

    theme_changed = Signal()

    @Slot()
    def follow_system(self) -> None:
        """Take over the system's light or dark setting and its contrast."""
        _settle()


def install(app: QApplication, choice: Choice = "system") -> ThemeSignals:
    """Load fonts, set style and palette, follow the system. Raises OSError if a font is missing."""
    from trialbench.ui.style import BookStyle

    found = app.findChild(ThemeSignals)
    if found is None:
        found = ThemeSignals(app)
        _load_fonts()
        # A font made before its file was loaded would stay what it was.
        _font.cache_clear()
        _metrics.cache_clear()
        app.setStyle(BookStyle())
        hints = app.styleHints()
        hints.colorSchemeChanged.connect(found.follow_system)
        if hasattr(hints, "accessibility"):
            hints.accessibility().contrastPreferenceChanged.connect(found.follow_system)
    screen = app.primaryScreen()
    _Now.dpi = screen.logicalDotsPerInch() if screen else 96.0
    set_choice(choice)
    return found


def signals() -> ThemeSignals:
    """The one emitter of `theme_changed`. Raises RuntimeError before `install`."""
    app = QApplication.instance()
    found = app.findChild(ThemeSignals) if app else None
    if found is None:
        raise RuntimeError("theme.install(app) has not been called")
    return found


def set_choice(choice: Choice) -> None:
    """Light, dark, or as the system has it."""
    _Now.choice = choice
    _settle()


def choice() -> Choice:
    """What was chosen (not what came of it)."""
    return _Now.choice


def set_counter(on: bool) -> None:
    """Counter size: everything 1.8 times as large, read from where you stand."""
    if on != _Now.counter:
        _Now.counter = on
        _settle()


def set_text_percent(percent: int) -> None:
    """Larger or smaller text at the desk, 100 as the look has it."""
    if percent / 100 != _Now.text_factor:
        _Now.text_factor = percent / 100
        _settle()


def text_factor() -> float:
    """What the text size asks for, without counter size."""
    return _Now.text_factor


def set_still(on: bool) -> None:
    """Reduce motion: nothing moves by itself."""
    _Now.still = on


def motion_ms(name: str) -> int:
    """Duration of a motion ("stitch", "strand", "note"), 0 under reduced motion."""
    return 0 if _Now.still else int(tokens()["motion_ms"][name])


def is_dark() -> bool:
    """Whether the dark theme holds."""
    return _Now.name == "dark"


def is_counter() -> bool:
    """Whether counter size is on."""
    return _Now.counter


def high_contrast() -> bool:
    """Whether the system asks for high contrast."""
    return _Now.contrast


def name() -> Literal["light", "dark"]:
    """The theme that holds now: for figures that are drawn in its colours."""
    return "dark" if _Now.name == "dark" else "light"


def factor() -> float:
    """1.0 at the desk times the text size, 1.8 at counter size."""
    return _Now.text_factor * (1.8 if _Now.counter else 1.0)


def px(length: float) -> float:
    """A length of the look at the present size."""
    return length * factor()


def size(name: str) -> int:
    """A size of the look ("hinge", "margin", "row_desk" ...), as it stands there."""
    return int(tokens()["size_px"][name])


def line(name: str) -> float:
    """A line width of the look ("rule", "frame", "strand" ...)."""
    return float(tokens()["line_px"][name])


def colour(name: str) -> QColor:
    """A colour by its token name. The caller gets its own copy."""
    return QColor(_Now.colours[name])


def method_colour(letter: str) -> QColor:
    """The colour of a method; from the fifth on it is ink."""
    return colour(f"method_{letter.lower()}" if letter in METHODS else "ink")


def method_tint(letter: str) -> QColor:
    """The ground of a method's field."""
    return colour(f"tint_{letter.lower()}" if letter in METHODS else "field")


def font(role: str, *, weight: int | None = None, italic: bool | None = None) -> QFont:
    """The font of a role of `type_px` at the present size. The caller gets its own copy."""
    return QFont(_font(role, weight, italic, factor(), _Now.dpi))


def metrics(role: str, *, weight: int | None = None, italic: bool | None = None) -> QFontMetricsF:
    """Metrics of a role's font at the present size."""
    return _metrics(role, weight, italic, factor(), _Now.dpi)


def line_height(role: str) -> float:
    """Line height of a role in px at the present size."""
    return float(_role(role)[1]) * factor()


def _role(role: str) -> tuple[float, float, str, int]:
    if role in _MORE_ROLES:
        return _MORE_ROLES[role]
    size_px, line_px, voice, weight = tokens()["type_px"][role]
    return size_px, line_px, voice, weight


@cache
def _metrics(
    role: str, weight: int | None, italic: bool | None, scale: float, dpi: float
) -> QFontMetricsF:
    return QFontMetricsF(_font(role, weight, italic, scale, dpi))


@cache
def _font(role: str, weight: int | None, italic: bool | None, scale: float, dpi: float) -> QFont:
    size_px, _, voice, usual = _role(role)
    made = QFont(tokens()["font"][voice])
    made.setPointSizeF(max(size_px * scale, 13.0) * 72.0 / dpi)
    made.setWeight(QFont.Weight(weight or usual))
    made.setItalic(role in _ITALIC_ROLES if italic is None else italic)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    for feature in _FEATURES[voice]:
        made.setFeature(QFont.Tag(feature), 1)
    return made


def _load_fonts() -> None:
    for file in sorted(paths.resource("fonts").glob("*.ttf")):
        number = QFontDatabase.addApplicationFont(str(file))
        families = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
        expected = "Vollkorn" if file.name.startswith("Vollkorn") else "Fira Sans"
        if expected not in families:
            raise OSError(f"font file {file.name} holds {families}, not {expected}")


def _settle() -> None:
    """Work out which theme holds, set the palette and tell everyone."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        return
    _Now.contrast = _wants_contrast(app)
    if _Now.choice == "system":
        dark = app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        _Now.name = "dark" if dark else "light"
    else:
        _Now.name = _Now.choice
    _Now.colours = {key: QColor(value) for key, value in tokens()["colour"][_Now.name].items()}
    if _Now.contrast:
        _Now.colours |= _contrast_colours(_Now.name == "dark")
    app.setPalette(palette())
    app.setFont(font("cell"))
    signals().theme_changed.emit()


def _wants_contrast(app: QApplication) -> bool:
    hints = app.styleHints()
    if not hasattr(hints, "accessibility"):
        return False
    return hints.accessibility().contrastPreference() == Qt.ContrastPreference.HighContrast


def _contrast_colours(dark: bool) -> dict[str, QColor]:
    """Black and white for everything that is not a method or food."""
    ink, paper = (Qt.GlobalColor.white, Qt.GlobalColor.black)
    if not dark:
        ink, paper = paper, ink
    inked = ("ink", "pencil", "rule", "rail", "ruling", "thread", "hole_rim", "verb_due")
    papered = ("page", "field", "margin", "cloth", "cloth_weave", "verb_due_ink")
    return {key: QColor(ink) for key in inked} | {key: QColor(paper) for key in papered}


def palette() -> QPalette:
    """The palette of the theme that holds now."""
    role = QPalette.ColorRole
    ink, pencil, page = colour("ink"), colour("pencil"), colour("page")
    made = QPalette()
    for where, value in (
        (role.Window, page),
        (role.Base, colour("field")),
        (role.AlternateBase, colour("margin")),
        (role.Button, page),
        (role.ToolTipBase, colour("field")),
        (role.WindowText, ink),
        (role.Text, ink),
        (role.ButtonText, ink),
        (role.ToolTipText, ink),
        (role.BrightText, ink),
        (role.Link, ink),
        (role.LinkVisited, ink),
        (role.PlaceholderText, pencil),
        (role.Highlight, colour("mark")),
        (role.HighlightedText, ink),
        (role.Light, page),
        (role.Midlight, colour("rule")),
        (role.Mid, colour("rule")),
        (role.Dark, colour("rail")),
        (role.Shadow, colour("rail")),
    ):
        made.setColor(where, value)
    for where in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, where, pencil)
    return made
