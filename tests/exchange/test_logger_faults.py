"""Markers, faults, power-up values, repeats, steps back, broken lines: left out and counted."""

from __future__ import annotations

import pytest

from tests.exchange.logger_shapes import HEAD, ISO, lines
from trialbench.exchange.logger_file import Answers, look, read
from trialbench.exchange.logger_file_column import Column, InLines

UTC = Answers(zone="UTC")


def log(*rows: str, heading: str = "time,core (°C)") -> bytes:
    """Rows as "seconds reading", a minute being "60"."""
    made = [heading]
    for row in rows:
        seconds, _, reading = row.partition(" ")
        s = int(seconds)
        made.append(f"2025-03-29 {10 + s // 3600:02}:{s // 60 % 60:02}:{s % 60:02},{reading}")
    return ("\n".join(made) + "\n").encode()


def out(found, name="core"):
    return {each.kind: (each.count, each.first_line) for each in found[name].left_out}


def test_markers_and_empty_cells_are_missing_and_counted_by_their_text():
    found = read(log("0 20.5", "60 OL", "120 OL", "180 ", "240 Err", "300 21.5"), UTC)
    assert list(found["core"].temp_c) == [20.5, 21.5]
    said = {str(each.why): (each.count, each.first_line) for each in found["core"].left_out}
    assert said == {
        "OL in place of a number": (2, 3), "empty": (1, 5), "Err in place of a number": (1, 6),
    }  # fmt: skip


@pytest.mark.parametrize(
    "fault", ["-999", "-327.68", "9999", "1372.0", "850.0", "-127.00", "32767"]
)
def test_numbers_that_stand_for_a_fault_are_no_temperatures(fault):
    found = read(log("0 20.5", f"60 {fault}", "120 21.5"), UTC)
    assert list(found["core"].temp_c) == [20.5, 21.5]
    assert out(found) == {"fault": (1, 3)}


def test_850_f_is_a_hot_oven_and_no_fault():
    found = read(log("0 840.0", "60 850.0", heading="time,oven (°F)"), UTC)
    assert found["oven"].temp_c[1] == pytest.approx(454.44, abs=0.01)


def test_what_no_kitchen_has_is_missing_with_a_note():
    found = read(log("0 20.5", "60 1200.5", "120 -180", "180 21.5"), UTC)
    (left,) = found["core"].left_out
    assert (left.kind, left.count, str(left.why)) == ("outside", 2, "outside -100 to 700 °C")


def test_a_power_up_value_goes_and_a_real_85_stays():
    cold = read(log("0 85.0", "60 4.2", "120 4.4"), UTC)
    assert list(cold["core"].temp_c) == [4.2, 4.4] and out(cold) == {"power_up": (1, 2)}
    real = read(log("0 85.0", "60 84.5", "120 84.0"), UTC)
    assert len(real["core"].temp_c) == 3
    middle = read(log("0 20.0", "60 85.0", "120 20.0"), UTC)
    assert len(middle["core"].temp_c) == 3
    assert "1 reading jumps by more than 30 °C and back" in str(middle["core"].remarks[0])
    after_a_gap = read(log("0 20.0", "60 20.1", "120 20.2", "4000 85.0", "4060 21.0"), UTC)
    assert out(after_a_gap) == {"power_up": (1, 5)}


def test_repeats_and_other_values_for_one_time():
    found = read(log("0 20.5", "60 21.5", "60 21.5", "60 29.9", "120 22.5"), UTC)
    assert list(found["core"].temp_c) == [20.5, 21.5, 22.5]
    assert out(found) == {"repeat": (1, 4), "other_value": (1, 5)}


def test_two_downloads_that_overlap_are_one_log():
    first = ["0 20.5", "60 21.5", "120 22.5"]
    found = read(log(*first, *first[1:], "180 23.5"), UTC)
    assert list(found["core"].temp_c) == [20.5, 21.5, 22.5, 23.5]
    assert out(found) == {"repeat": (2, 5)}
    assert "backward" not in [question.id for question in look(log(*first, *first)).questions]


def test_time_that_runs_backwards_is_counted_and_may_be_answered():
    data = log("0 20.5", "60 21.5", "120 22.5", "90 30.5", "150 31.5", "210 32.5")
    question = next(q for q in look(data).questions if q.id == "backward")
    assert not question.needed and question.likely == "earlier"
    earlier = read(data, UTC)
    assert list(earlier["core"].temp_c) == [20.5, 21.5, 22.5, 31.5, 32.5]
    assert out(earlier) == {"backward": (1, 5)}
    later = read(data, Answers(zone="UTC", backward="later"))
    assert list(later["core"].temp_c) == [20.5, 21.5, 30.5, 31.5, 32.5]
    both = read(data, Answers(zone="UTC", backward="sort"))
    assert list(both["core"].temp_c) == [20.5, 21.5, 30.5, 22.5, 31.5, 32.5]
    assert out(both) == {}


def test_gaps_are_remarked_and_readings_rise_in_time():
    found = read(log("0 20", "60 21", "120 22", "3000 23", "3060 24"), UTC)
    assert [str(each) for each in found["core"].remarks] == ["1 gap in the readings."]


def test_the_newest_first_is_turned_round_and_said():
    found = read(log("120 22.5", "60 21.5", "0 20.5"), UTC)
    assert list(found["core"].temp_c) == [20.5, 21.5, 22.5]
    assert "turned round" in str(found.said[-1])


def test_lines_that_are_no_readings_are_counted_by_reason():
    text = lines(HEAD, ISO).splitlines()
    text.insert(5, HEAD)
    text.insert(7, "2025-03-29 25:99:00,1.0,2.0")
    text.insert(9, "2025-03-29 23:58:30,3.3")
    text.insert(10, "memory was read out here")
    found = read("\n".join(text).encode(), UTC)
    assert {each.kind: (each.count, each.first_line) for each in found.left_out} == {
        "heading": (1, 6), "time": (1, 8), "cells": (2, 10)}  # fmt: skip
    assert all(len(channel.time_s) == 12 for channel in found.channels)


@pytest.mark.parametrize("cut", [1, 2, 3, 8, 20])
def test_a_last_line_that_breaks_off_is_left_out(cut):
    data = lines(HEAD, ISO).encode()[: -1 - cut]
    found = read(data, UTC)
    lost = {each.kind for each in found.left_out}
    if cut == 1:  # 106. for 106.9
        assert lost == {"cut"} and len(found["pit"].time_s) == 11
    else:
        assert lost <= {"cut"}
    # nothing that is read differs from the whole file
    whole = read(lines(HEAD, ISO).encode(), UTC)
    for channel in found.channels:
        kept = dict(zip(whole[channel.name].time_s, whole[channel.name].temp_c, strict=True))
        assert all(kept[t] == c for t, c in zip(channel.time_s, channel.temp_c, strict=True))


def test_a_file_without_a_last_line_end_is_whole():
    found = read(lines(HEAD, ISO).encode()[:-1], UTC)
    assert len(found["pit"].time_s) == 12 and found.left_out == ()


def test_an_empty_channel_stays_and_says_so():
    data = b"time,core (\xc2\xb0C),lid (\xc2\xb0C)\n" + b"".join(
        b"2025-03-29 10:0%d:00,2%d.5,---\n" % (n, n) for n in range(4)
    )
    found = read(data, UTC)
    assert len(found["lid"].time_s) == 0 and found["lid"].left_out[0].count == 4
    assert str(found["lid"].remarks[0]) == "No reading is left in this channel."


def test_what_is_no_temperature_is_left_aside_by_name():
    data = b"time,core (\xc2\xb0C),Humidity (%RH),Battery (V),Event\n" + b"".join(
        b"2025-03-29 10:0%d:00,2%d.5,55,3.1,lid\n" % (n, n) for n in range(4)
    )
    reading = look(data)
    assert [channel.name for channel in reading.channels] == ["core"]
    assert reading.left_aside == ("Humidity (%RH)", "Battery (V)", "Event")


def test_channels_of_one_name_are_told_apart():
    data = b"time,T (\xc2\xb0C),T (\xc2\xb0C)\n" + b"2025-03-29 10:00:00,1.5,2.5\n" * 2
    assert [channel.name for channel in look(data).channels] == ["T", "T (2)"]


def test_a_long_file_with_a_marker_and_an_odd_line_in_its_middle():
    """Lines are cut some thousand at a time: where a cell stands makes no difference."""
    rows = [f"{n} {20 + n % 50 / 10}" for n in range(0, 30_000, 3)]
    rows[5000] = "15000 OL"
    data = log(*rows).split(b"\n")
    data.insert(7000, b"memory was read out here")
    found = read(b"\n".join(data), UTC)
    core = found["core"]
    assert len(core.time_s) == 9999 and out(found) == {"marker": (1, 5002)}
    assert [(each.kind, each.count, each.first_line) for each in found.left_out] == [
        ("cells", 1, 7001)]  # fmt: skip
    assert list(core.temp_c[:3]) == [20.0, 20.3, 20.6]
    assert core.temp_c[-1] == 20 + 29_997 % 50 / 10


def test_columns_kept_in_their_lines_read_the_same():
    kept = InLines(["a,1", "b,2", "c,3"], ",", 1)
    column = Column([kept, ["4", "5"]])
    assert list(column) == ["1", "2", "3", "4", "5"] and len(column) == 5
    view = column[1:]
    assert (view[0], view[-1], len(view)) == ("2", "5", 4)
    assert list(view[1:3]) == ["3", "4"] and column[::2] == ["1", "3", "5"]
    assert kept[1:] == ["2", "3"]
    with pytest.raises(IndexError):
        view[4]
