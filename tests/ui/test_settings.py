"""Settings keep their types; the table of verbs keeps its keys apart."""

import pytest

from trialbench.model.message import msg
from trialbench.ui.settings import TABLE, Settings
from trialbench.ui.verbs_table import VerbEntry, VerbsTable


def test_every_setting_comes_back_with_its_type(tmp_path):
    file = tmp_path / "deep" / "settings.ini"
    settings = Settings(file)
    settings.put("counter_size", True)
    settings.put("text_percent", 130)
    settings.put("last_trial", "a%b=c #d")
    settings.write()
    again = Settings(file)
    assert again.on("counter_size") is True
    assert again.number("text_percent") == 130
    assert again.text("last_trial") == "a%b=c #d"
    assert again.on("reduce_motion") is False


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row.key)
def test_every_default_is_allowed(row):
    assert row.allowed(row.default)


@pytest.mark.parametrize(
    "text",
    ["nonsense", "[trialbench]\ntext_percent = much\ntheme = pink\n", "\x00\xff", "[a]\n[a]\n"],
)
def test_a_file_that_makes_no_sense_is_as_none(tmp_path, text):
    file = tmp_path / "settings.ini"
    file.write_text(text, encoding="latin-1")
    settings = Settings(file)
    assert settings.number("text_percent") == 100
    assert settings.text("theme") == "system"


def test_what_the_table_does_not_allow_is_not_kept():
    settings = Settings()
    for key, value in (("theme", "pink"), ("text_percent", 500), ("counter_size", "yes")):
        with pytest.raises(ValueError, match=key):
            settings.put(key, value)
    with pytest.raises(KeyError):
        settings.text("nothing")


def _verb(name: str, label: str, key: str = "") -> VerbEntry:
    return VerbEntry(name, msg("{label}", label=label), lambda: None, key)


def test_two_verbs_cannot_have_one_key():
    table = VerbsTable()
    table.put("window", (_verb("a", "Seal", "Ctrl+E"),))
    with pytest.raises(ValueError, match=r"Ctrl\+E"):
        table.put("page", (_verb("b", "Write", "Ctrl+E"),))
    table.put("window", ())
    table.put("page", (_verb("b", "Write", "Ctrl+E"),))


def test_verbs_stand_in_alphabetical_order_and_are_found_by_any_word():
    table = VerbsTable()
    table.put("window", (_verb("w", "Weigh the pieces"), _verb("d", "Draw lots again")))
    assert [entry.name for entry in table.entries()] == ["d", "w"]
    assert [entry.name for entry in table.find("PIEC wei")] == ["w"]
    assert table.find("oven") == []
    with pytest.raises(KeyError):
        table.entry("x")
