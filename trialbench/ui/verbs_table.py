"""Every verb with its key, in one table: the Index reads it, the window's keys come from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trialbench.model.message import Message, say


@dataclass(frozen=True, slots=True)
class VerbEntry:
    """One verb. `key` is a key sequence ("Ctrl+D", "" for none); `why` why not yet, or None."""

    name: str
    label: Message | str
    handler: Callable[[], object]
    key: str = ""
    why: Callable[[], Message | str | None] = lambda: None


class VerbsTable:
    """Verbs by owner: the window's stay, a page's come and go with it."""

    def __init__(self) -> None:
        self._owned: dict[str, tuple[VerbEntry, ...]] = {}
        self.listeners: list[Callable[[], None]] = []

    def put(self, owner: str, entries: tuple[VerbEntry, ...]) -> None:
        """Replace the verbs of an owner. ValueError when two verbs want one key."""
        owned = {**self._owned, owner: entries}
        keys = [entry.key for each in owned.values() for entry in each if entry.key]
        twice = {key for key in keys if keys.count(key) > 1}
        if twice:
            raise ValueError(f"two verbs have one key: {', '.join(sorted(twice))}")
        self._owned = owned
        for listener in self.listeners:
            listener()

    def entries(self) -> list[VerbEntry]:
        """All verbs in alphabetical order of their words, as in the index of a book."""
        found = [entry for each in self._owned.values() for entry in each]
        return sorted(found, key=lambda entry: (say(entry.label).casefold(), entry.name))

    def find(self, words: str) -> list[VerbEntry]:
        """Verbs whose words hold every typed word, in the same order."""
        wanted = words.casefold().split()
        return [
            entry
            for entry in self.entries()
            if all(word in say(entry.label).casefold() for word in wanted)
        ]

    def entry(self, name: str) -> VerbEntry:
        """KeyError for a verb that is not in the table."""
        for entry in self.entries():
            if entry.name == name:
                return entry
        raise KeyError(name)
