"""When: a UTC instant and the offset of the kitchen, injectable so that tests repeat."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta


@dataclass(frozen=True, slots=True)
class Moment:
    """A UTC instant in ISO 8601 text (milliseconds, "Z") and the kitchen's offset in minutes."""

    utc: str
    offset_min: int


Clock = Callable[[], Moment]


def moment_of(instant: datetime, offset_min: int | None = None) -> Moment:
    """The moment of an aware datetime; its own offset when none is named."""
    if offset_min is None:
        offset = instant.utcoffset() or timedelta(0)
        offset_min = round(offset.total_seconds() / 60)
    text = instant.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return Moment(text, offset_min)


def system_clock() -> Moment:
    """Now, by the clock of this machine."""
    return moment_of(datetime.now(UTC).astimezone())


class SteppingClock:
    """A clock for tests and examples: begins at `start` and goes on by `step_s` at each look."""

    def __init__(self, start: datetime, step_s: float = 1.0, offset_min: int = 0) -> None:
        self._next = start if start.tzinfo else start.replace(tzinfo=UTC)
        self._step = timedelta(seconds=step_s)
        self._offset_min = offset_min

    def __call__(self) -> Moment:
        """The next moment."""
        now, self._next = self._next, self._next + self._step
        return moment_of(now, self._offset_min)


def local_time(utc: str, offset_min: int) -> datetime:
    """The kitchen's own date and time of a moment, without a zone."""
    instant = datetime.fromisoformat(utc)
    return (instant.astimezone(UTC) + timedelta(minutes=offset_min)).replace(tzinfo=None)
