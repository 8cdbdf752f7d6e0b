"""Sentences as values: an English message id with arguments, rendered through gettext when shown.

Messages are built where Qt is forbidden and stored (in history) unrendered, so that a notebook
reads in the language of whoever opens it.
"""

from __future__ import annotations

import gettext
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from trialbench import paths


@dataclass(frozen=True, slots=True)
class Message:
    """A message id (English text with {names}) and its arguments.

    `plural` and `count` choose a plural form; `count` is also the argument {count}.
    """

    text: str
    args: tuple[tuple[str, str | int | float | Message], ...] = ()
    plural: str | None = None
    count: int | None = None

    def __str__(self) -> str:
        return say(self)


def msg(text: str, /, **args: str | int | float | Message) -> Message:
    """A message without plural forms. The text is collected into the catalogue."""
    return Message(text, tuple(sorted(args.items())))


def msg_n(one: str, many: str, count: int, /, **args: str | int | float | Message) -> Message:
    """A message whose wording depends on `count`, which fills {count}."""
    return Message(one, tuple(sorted(args.items())), many, count)


@cache
def _catalogue(language: str | None) -> gettext.NullTranslations:
    languages = [language] if language else None
    return gettext.translation(
        "trialbench", str(paths.resource("catalogues")), languages=languages, fallback=True
    )


def say(message: Message | str, language: str | None = None) -> str:
    """Render a message. A plain string is returned as it is (names typed by the cook)."""
    if isinstance(message, str):
        return message
    if not message.text:
        return ""  # gettext keeps its own header under the empty id
    catalogue = _catalogue(language)
    if message.plural is not None and message.count is not None:
        text = catalogue.ngettext(message.text, message.plural, message.count)
    else:
        text = catalogue.gettext(message.text)
    args: dict[str, object] = {
        name: say(value, language) if isinstance(value, Message) else value
        for name, value in message.args
    }
    if message.count is not None:
        args["count"] = message.count
    return text.format(**args) if args else text


def as_json(message: Message) -> dict[str, object]:
    """A JSON value from which `from_json` makes an equal message."""
    return {
        "text": message.text,
        "args": [[k, as_json(v) if isinstance(v, Message) else v] for k, v in message.args],
        "plural": message.plural,
        "count": message.count,
    }


def from_json(value: Mapping[str, object]) -> Message:
    """Inverse of `as_json`."""
    args = tuple(
        (name, from_json(arg) if isinstance(arg, dict) else arg)
        for name, arg in value["args"]  # type: ignore[attr-defined]
    )
    return Message(value["text"], args, value["plural"], value["count"])  # type: ignore[arg-type]
