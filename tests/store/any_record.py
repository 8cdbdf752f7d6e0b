"""Hypothesis strategies: any record of any kind."""

import typing
from dataclasses import fields

from hypothesis import strategies as st

from trialbench.model.records import KINDS

_TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=12)
_VALUES = {
    str: _TEXT,
    int: st.integers(-(2**63), 2**63 - 1),
    float: st.floats(allow_nan=False, allow_infinity=False),
    bool: st.booleans(),
}


def _value(hint):
    options = typing.get_args(hint) or (hint,)
    plain = next(t for t in options if t is not type(None))
    return st.none() | _VALUES[plain] if type(None) in options else _VALUES[plain]


@st.composite
def records(draw, kind=None):
    kind = kind or draw(st.sampled_from(KINDS))
    hints = typing.get_type_hints(kind)
    values = {f.name: draw(_value(hints[f.name])) for f in fields(kind) if f.name != "id"}
    return kind(id=draw(st.uuids()).hex, **values)
