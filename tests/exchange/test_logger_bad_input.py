"""What is no logger file gets a clear sentence, and nothing is half read."""

from __future__ import annotations

import random

import pytest

from tests.exchange.logger_shapes import SHAPES
from trialbench.exchange import logger_file_text
from trialbench.exchange.logger_file import Answers, look, read, read_bytes
from trialbench.exchange.logger_file_times import duration_s, looks_like_time, stamp
from trialbench.model.errors import BadInput, TrialbenchError


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n \r\n", "empty"),
        (b"\x89PNG\r\n\x1a\n" + b"\x00" * 50, "a picture"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "a picture"),
        (b"PK\x03\x04" + b"\x00" * 50, "a workbook or an archive"),
        (b"%PDF-1.7 ...", "a PDF"),
        (bytes(range(256)) * 20, "not text"),
        (b"Dear cook,\nthe probe is in the post.\nYours\n", "No log was found"),
        (b"name,food\nribs,pork\n", "No log was found"),
        (b"time,event\n2025-03-29 10:00:00,in\n2025-03-29 10:01:00,out\n", "No log was found"),
        (b"time,Humidity (%)\n2025-03-29 10:00:00,55\n2025-03-29 10:01:00,56\n",
         "No column of this file holds temperatures"),
    ],
)  # fmt: skip
def test_what_is_no_log_is_said(data, says):
    with pytest.raises(BadInput, match=says) as refused:
        look(data)
    assert refused.value.where and refused.value.allowed


def test_a_file_without_one_reading_is_refused_whole():
    data = b"time,core (\xc2\xb0C)\n" + b"2025-03-29 10:00:00,-999\n2025-03-29 10:01:00,-999\n"
    with pytest.raises(BadInput, match="No reading is left"):
        read(data, Answers(zone="UTC"))


def test_a_file_that_is_too_large_is_never_read(tmp_path, monkeypatch):
    path = tmp_path / "long.csv"
    with path.open("wb") as out:
        out.truncate(2_000_000_000)
    with pytest.raises(BadInput, match=r"long.csv has 2000 MB. Nothing was read"):
        read_bytes(path)
    monkeypatch.setattr(logger_file_text, "MOST_BYTES", 10)
    with pytest.raises(BadInput, match="Nothing was read"):
        look(b"x" * 11)


def test_a_file_that_cannot_be_opened_is_said(tmp_path):
    with pytest.raises(BadInput, match=r"gone.csv cannot be read"):
        read_bytes(tmp_path / "gone.csv")
    here = tmp_path / "here.csv"
    here.write_bytes(b"1,2\n")
    assert read_bytes(here) == b"1,2\n"


def test_damaged_files_end_in_readings_or_in_a_sentence():
    """Bytes turned, cut and doubled at random (lot number 5): no other error ever."""
    chance = random.Random(5)
    files = [shape.data for shape in SHAPES.values()]
    for _ in range(300):
        data = bytearray(chance.choice(files))
        for _ in range(chance.randint(1, 12)):
            place = chance.randrange(len(data))
            kind = chance.randrange(3)
            if kind == 0:
                data[place] = chance.randrange(256)
            elif kind == 1:
                del data[place : place + chance.randint(1, 40)]
            else:
                data[place:place] = data[place : place + chance.randint(1, 40)]
            if not data:
                break
        try:
            read(bytes(data), Answers(zone="UTC", unit="C", date_order="day", clock="elapsed",
                                      two_parts="m:ss", elapsed_unit="s", interval_s=90,
                                      first_date="2025-03-29"))  # fmt: skip
        except TrialbenchError as refused:
            assert str(refused)


def test_durations_of_iso_8601():
    """standards.json: seconds of the ISO 8601 durations there."""
    wanted = {"PT1H30M": 5400, "P1DT2H": 93600, "PT0.5H": 1800, "P1W": 604800, "PT14H": 50400,
              "PT90S": 90, "PT1,5H": 5400}  # fmt: skip
    assert {text: duration_s(text) for text in wanted} == wanted
    assert duration_s("P") is None and duration_s("1 h") is None


def test_a_bare_number_or_word_is_no_time():
    for cell in ("4.8", "107", "-5", "OL", "", "---", "1,234.5", "P", "12:61", "13:00 PM"):
        assert not looks_like_time(cell)
    assert stamp("2025-03-29 24:30:00") is None
