"""A kill -9 in the middle of typing loses nothing that was on the screen."""

from tests.store.kill_entry import LOT_NUMBER, kill_many
from trialbench.notebook.notebook import Notebook


def test_twenty_kills_lose_nothing(tmp_path):
    assert kill_many(20, tmp_path, LOT_NUMBER) == []
    with Notebook.open(tmp_path / "kitchen.trialbench") as book:
        assert book.history(limit=1)[0].number > 20
