"""The kitchen's clock: what it shows at an instant, and at which instants it shows a time.

Instants are UTC. A zone has its name in the IANA time zone data base and knows when the clock goes
forward or back; where no zone is known the stored offset holds all the time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import lru_cache

_LOOK_STEP = timedelta(hours=6)
_A_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class ClockChange:
    """The clock goes forward or back at `instant`; `before` and `after` are what it shows then."""

    instant: datetime
    before: datetime
    after: datetime

    @property
    def forward(self) -> bool:
        """Whether an hour is missing; else one comes twice."""
        return self.after > self.before


@dataclass(frozen=True, slots=True)
class KitchenClock:
    """A clock by zone name; `offset_min` (minutes east of UTC) holds where `zone` is ""."""

    zone: str = ""
    offset_min: int = 0

    def shown(self, instant: datetime) -> datetime:
        """What the clock shows at an aware instant: date and time without a zone."""
        return instant.astimezone(self._tz()).replace(tzinfo=None, fold=0)

    def offset_at(self, instant: datetime) -> int:
        """Minutes east of UTC at an aware instant."""
        offset = instant.astimezone(self._tz()).utcoffset() or timedelta(0)
        return round(offset.total_seconds() / 60)

    def instants(self, shown: datetime) -> tuple[datetime, ...]:
        """The UTC instants at which the clock shows this, earliest first.

        None where the clock goes forward over it, two where it comes twice.
        """
        tries = (self._instant(shown, fold) for fold in (0, 1))
        return tuple(sorted({i for i in tries if self.shown(i) == shown.replace(fold=0)}))

    def beside_gap(self, shown: datetime) -> tuple[datetime, ...]:
        """The instants that stand for a time in a missing hour: just before it, and after it."""
        return tuple(sorted({self._instant(shown, fold) for fold in (0, 1)}))

    def changes(self, first: datetime, last: datetime) -> Iterator[ClockChange]:
        """Every change of the clock from `first` to `last`, to the minute."""
        at = first
        while at < last:
            then = min(at + _LOOK_STEP, last)
            if self.offset_at(at) != self.offset_at(then):
                yield self._change(at, then)
            at = then

    def _change(self, early: datetime, late: datetime) -> ClockChange:
        before = self.offset_at(early)
        while late - early > _A_MINUTE:
            middle = early + (late - early) / 2
            early, late = (middle, late) if self.offset_at(middle) == before else (early, middle)
        instant = late.replace(second=0, microsecond=0)
        old = (instant + timedelta(minutes=before)).replace(tzinfo=None)
        return ClockChange(instant, old, self.shown(instant))

    def _instant(self, shown: datetime, fold: int) -> datetime:
        return shown.replace(tzinfo=self._tz(), fold=fold).astimezone(UTC)

    def _tz(self) -> tzinfo:
        found = _zone(self.zone)
        return found or timezone(timedelta(minutes=self.offset_min))


@lru_cache(maxsize=32)
def _zone(name: str) -> tzinfo | None:
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name) if name else None
    except (KeyError, ValueError, OSError):
        return None


def is_zone(name: str) -> bool:
    """Whether the data base has a zone of this name."""
    return _zone(name) is not None


def instant_of(utc: str) -> datetime:
    """A stored instant (ISO 8601 text) as an aware datetime."""
    return datetime.fromisoformat(utc).astimezone(UTC)


def utc_text(instant: datetime) -> str:
    """An aware instant as records hold it."""
    return instant.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
