"""What a long log costs: eight channels for three days, once a second."""

from __future__ import annotations

import io
import time
from datetime import datetime, timedelta

from trialbench.exchange.logger_file import Answers, read
from trialbench.thermal import check_hold, curve, holding_rule, thinned

CHANNELS, SECONDS = 8, 3 * 86_400


def _seconds(act) -> float:
    begun = time.perf_counter()
    act()
    return time.perf_counter() - begun


def _file(seconds: int) -> bytes:
    """An invented log whose readings wander by tenths."""
    start = datetime(2025, 3, 3, 12)
    rows = ["time," + ",".join(f"probe {n + 1} (°C)" for n in range(CHANNELS))]
    for n in range(seconds):
        readings = ",".join(f"{60 + (n // 37 + 11 * k) % 97 / 10:.1f}" for k in range(CHANNELS))
        rows.append(f"{start + timedelta(seconds=n):%Y-%m-%d %H:%M:%S},{readings}")
    return "\n".join(rows).encode()


def test_three_days_of_eight_channels(repeats, figure):
    import pandas as pd

    data = _file(SECONDS if repeats > 1 else 3600)
    plain = min(_seconds(lambda: pd.read_csv(io.BytesIO(data))) for _ in range(3))
    ours = min(_seconds(lambda: read(data, Answers(zone="UTC"))) for _ in range(3))
    figure("a log read, times as long as pandas", ours / plain, "x", limit=10)
    channel = read(data, Answers(zone="UTC")).channels[0]
    log = curve(channel.time_s, channel.temp_c)
    seen = [
        _seconds(lambda n=n: thinned(log.between(log.start_s + n, log.end_s - n), 2000))
        for n in range(20)
    ]
    figure("a view of a long log, slowest", 1000 * max(seen), "ms", limit=16)
    hold = _seconds(lambda: check_hold(log, holding_rule("us_food_code")))
    figure("a hold checked in a long log", 1000 * hold, "ms", limit=250)
