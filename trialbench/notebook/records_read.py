"""Records in memory: by id, by what they belong to, in their natural order."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Protocol, TypeVar, cast

from trialbench.model.records import KINDS, REFERENCES, Record
from trialbench.model.steps import Change

R = TypeVar("R", bound=Record)

_ORDER: dict[str, Callable[[Any], tuple[Any, ...]]] = {
    "trial": lambda r: (r.number,),
    "method": lambda r: (r.letter,),
    "stage": lambda r: (r.position,),
    "part": lambda r: (r.stage_id, r.field),
    "addition": lambda r: (r.stage_id, r.position),
    "expected": lambda r: (r.stage_id, r.method_id or ""),
    "feel": lambda r: (r.position,),
    "factor": lambda r: (r.position,),
    "level": lambda r: (r.factor_id, r.position),
    "setting": lambda r: (r.method_id, r.level_id),
    "price": lambda r: (r.item, r.name),
    "difference": lambda r: (r.stage_id, r.field),
    "outcome": lambda r: (r.position,),
    "checkpoint": lambda r: (r.position,),
    "cook": lambda r: (r.number,),
    "pair": lambda r: (r.number,),
    "load": lambda r: (r.name,),
    "piece": lambda r: (r.position, r.label),
    "replan": lambda r: (r.made_utc,),
    "draw": lambda r: (r.number,),
    "seal": lambda r: (r.made_utc,),
    "after_seal": lambda r: (r.number,),
    "measurement": lambda r: (r.made_utc,),
    "amount": lambda r: (r.made_utc,),
    "taster": lambda r: (r.position,),
    "sitting": lambda r: (r.number,),
    "seat": lambda r: (r.position,),
    "sample": lambda r: (r.position, r.code),
    "score": lambda r: (r.made_utc,),
    "key_look": lambda r: (r.made_utc,),
    "read_back": lambda r: (r.made_utc,),
    "left_out": lambda r: (r.made_utc,),
    "decision": lambda r: (r.made_utc,),
    "handed_on": lambda r: (r.made_utc,),
}
"""Natural order within a kind; the id decides between equals."""

PARENT_FIELDS: dict[str, tuple[str, ...]] = {
    kind.kind: tuple(REFERENCES.get(kind.kind, {})) for kind in KINDS
}
PARENT_FIELDS["left_out"] += ("subject_id",)


class Reads(Protocol):
    """What reading needs: a Notebook, or a snapshot of its records."""

    def get(self, kind: type[R], identity: str) -> R:
        """The record. Raises KeyError when there is none."""
        ...

    def find(self, kind: type[R], identity: str | None) -> R | None:
        """The record, or None."""
        ...

    def all(self, kind: type[R], **equals: Any) -> tuple[R, ...]:
        """The records whose fields equal `equals`, in natural order."""
        ...


def _sort_key(kind: str) -> Callable[[Any], tuple[Any, ...]]:
    order = _ORDER.get(kind)
    if order is None:
        return lambda record: (record.id,)
    return lambda record: (*order(record), record.id)


class Records:
    """All records of a notebook at one moment. Reading is instant; only Notebook changes it."""

    def __init__(self, records: Iterable[Record] = ()) -> None:
        self._by_id: dict[str, dict[str, Record]] = {kind.kind: {} for kind in KINDS}
        self._by_parent: dict[tuple[str, str], dict[str, dict[str, Record]]] = {
            (kind, field): {} for kind, names in PARENT_FIELDS.items() for field in names
        }
        self._answers: dict[str, dict[tuple[Any, ...], tuple[Record, ...]]] = {}
        self._of_parent: dict[tuple[str, str, Any], tuple[Record, ...]] = {}
        for record in records:
            self._put(record)

    def get(self, kind: type[R], identity: str) -> R:
        """The record. Raises KeyError when there is none."""
        return cast(R, self._by_id[kind.kind][identity])

    def find(self, kind: type[R], identity: str | None) -> R | None:
        """The record, or None."""
        return cast("R | None", self._by_id[kind.kind].get(identity or ""))

    def all(self, kind: type[R], **equals: Any) -> tuple[R, ...]:
        """The records whose fields equal `equals`, in natural order."""
        if len(equals) == 1:
            field, value = next(iter(equals.items()))
            if value is not None and field in PARENT_FIELDS[kind.kind]:
                return cast("tuple[R, ...]", self._children(kind.kind, field, value))
        answers = self._answers.setdefault(kind.kind, {})
        question = tuple(sorted(equals.items()))
        if question not in answers:
            answers[question] = tuple(
                sorted(self._matching(kind.kind, equals), key=_sort_key(kind.kind))
            )
        return cast("tuple[R, ...]", answers[question])

    def _children(self, kind: str, field: str, parent: Any) -> tuple[Record, ...]:
        known = self._of_parent.get((kind, field, parent))
        if known is None:
            found = self._by_parent[kind, field].get(parent, {}).values()
            known = tuple(sorted(found, key=_sort_key(kind)))
            self._of_parent[kind, field, parent] = known
        return known

    def _matching(self, kind: str, equals: dict[str, Any]) -> Iterable[Record]:
        rest = dict(equals)
        found: Iterable[Record] = self._by_id[kind].values()
        for field in PARENT_FIELDS[kind]:
            if rest.get(field) is not None:
                found = self._by_parent[kind, field].get(rest.pop(field), {}).values()
                break
        return [r for r in found if all(getattr(r, name) == v for name, v in rest.items())]

    def children(self, record: Record) -> Iterable[Record]:
        """Every record that refers to this one."""
        for kind, references in REFERENCES.items():
            for field, parent in references.items():
                if parent == record.kind:
                    yield from self._by_parent[kind, field].get(record.id, {}).values()

    def apply(self, changes: Iterable[Change]) -> None:
        """Take each change over: no checks, they were made before."""
        for change in changes:
            if change.before is not None:
                self._drop(change.before)
            if change.after is not None:
                self._put(change.after)

    def copy(self) -> Records:
        """The records as they are now, unmoved by later steps."""
        twin = Records()
        twin._by_id = {kind: dict(found) for kind, found in self._by_id.items()}
        twin._by_parent = {
            field: {parent: dict(found) for parent, found in parents.items()}
            for field, parents in self._by_parent.items()
        }
        return twin

    def as_set(self) -> frozenset[Record]:
        """Every record: equal sets are equal notebooks."""
        return frozenset(r for found in self._by_id.values() for r in found.values())

    def _forget_answers(self, record: Record) -> None:
        self._answers.pop(record.kind, None)
        for field in PARENT_FIELDS[record.kind]:
            self._of_parent.pop((record.kind, field, getattr(record, field)), None)

    def _put(self, record: Record) -> None:
        kind = record.kind
        self._forget_answers(record)
        self._by_id[kind][record.id] = record
        for field in PARENT_FIELDS[kind]:
            parent = getattr(record, field)
            if parent is not None:
                self._by_parent[kind, field].setdefault(parent, {})[record.id] = record

    def _drop(self, record: Record) -> None:
        kind = record.kind
        held = self._by_id[kind].pop(record.id, None)
        if held is not None:
            self._forget_answers(held)
        for field in PARENT_FIELDS[kind]:
            parent = getattr(held, field, None)
            if parent is not None:
                self._by_parent[kind, field][parent].pop(record.id, None)
