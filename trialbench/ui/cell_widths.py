"""How wide the columns of a table of cells are."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from trialbench.ui import theme
from trialbench.ui.cells import Column

_LEAST_PX = 40


def column_widths(columns: Sequence[Column], room_px: int) -> list[int]:
    """Widths in px: fixed columns, and those that share what is left of `room_px`.

    Without shares the columns that can be written take what is left. A table that does not fit is
    moved sideways; it ends at the edge of a column and not inside one.
    """
    wide = [round(theme.px(column.width_px)) for column in columns]
    shares = sum(column.share for column in columns if not column.width_px)
    if not shares:
        return _whole_columns(columns, wide, room_px)
    left, used = max(room_px - sum(wide), 0), 0.0
    for number, column in enumerate(columns):
        if not wide[number]:
            # Rounded edges, not widths: together the columns are exactly as wide as the table.
            before, used = used, used + left * column.share / (shares or 1)
            wide[number] = max(round(used) - round(before), round(theme.px(_LEAST_PX)))
    return wide


def _whole_columns(columns: Sequence[Column], wide: list[int], room_px: int) -> list[int]:
    seen = sum(1 for end in accumulate(wide) if end <= room_px)
    wider = [number for number in range(seen) if columns[number].editable]
    if not wider:
        return wide
    extra, rest = divmod(room_px - sum(wide[:seen]), len(wider))
    for number, column in enumerate(columns):
        wide[number] += extra if column.editable else 0
    for number in wider[:rest]:
        wide[number] += 1
    return wide
