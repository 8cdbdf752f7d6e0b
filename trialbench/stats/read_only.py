"""A dict of a result that cannot be changed."""

from __future__ import annotations

from typing import Any, NoReturn, TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")


def _refuse(*_: object, **__: object) -> NoReturn:
    raise TypeError("This belongs to a result and cannot be changed; dict(...) makes a copy.")


class ReadOnly(dict[Key, Value]):
    """Equal to the dict it was made from; it can be copied, pickled and written as JSON."""

    __setitem__ = __delitem__ = __ior__ = _refuse
    clear = pop = popitem = setdefault = update = _refuse

    def __reduce__(self) -> tuple[Any, ...]:
        return ReadOnly, (dict(self),)
