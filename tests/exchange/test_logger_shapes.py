"""The same cook comes out of every shape, and the published samples say what they are."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from tests.exchange.logger_shapes import CORE, LONDON, PIT, SHAPES, START_UTC, STEP_S
from trialbench.exchange.logger_file import Answers, NotAnswered, look, read

SAMPLES = Path(__file__).resolve().parents[1] / "reference" / "thermal" / "logger_samples"
EXPECTED = json.loads((SAMPLES / "expected.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", SHAPES)
def test_every_shape_holds_the_same_cook(name):
    shape = SHAPES[name]
    found = read(shape.data, shape.answers)
    core, pit = found.channels
    assert found.clock == shape.clock
    times = shape.first_s + STEP_S * np.arange(len(CORE))
    for channel, temps in ((core, CORE), (pit, PIT)):
        assert channel.time_s == pytest.approx(times, abs=1e-2)
        assert channel.temp_c == pytest.approx(temps, abs=shape.tolerance_c)
        assert channel.left_out == ()


@pytest.mark.parametrize("name", SHAPES)
def test_nothing_is_asked_that_was_not_answered_and_an_open_question_stops(name):
    shape = SHAPES[name]
    needed = [question.id for question in look(shape.data).questions if question.needed]
    if needed:
        with pytest.raises(NotAnswered) as refused:
            read(shape.data)
        assert [question.id for question in refused.value.questions] == needed
        assert refused.value.allowed


@pytest.mark.parametrize("name", EXPECTED["files"])
def test_published_samples(name):
    wanted, truth = EXPECTED["files"][name], EXPECTED["truth"]
    reading = look((SAMPLES / name).read_bytes())
    assert reading.lines == wanted["rows"]
    assert len(reading.channels) == wanted["channels"]
    assert {c.unit for c in reading.channels} == {{"Cel": "C", "[degF]": "F"}[wanted["unit"]]}
    found = read(reading, LONDON)
    core, pit = found.channels
    # one decimal of a °F is half of 0.1 K away at most
    slack = 0.03 if wanted["unit"] == "[degF]" else 1e-9
    assert core.temp_c == pytest.approx(truth["core_C"], abs=slack)
    first = 0.0 if found.clock == "elapsed" else START_UTC
    assert core.time_s == pytest.approx(first + truth["interval_s"] * np.arange(12))
    missing = wanted.get("missing_in_pit", 0)
    assert sum(each.count for each in pit.left_out) == missing
    assert len(pit.temp_c) == 12 - missing
    if not missing:
        assert pit.temp_c == pytest.approx(truth["pit_C"], abs=slack)


def test_what_is_said_of_a_sample():
    reading = look((SAMPLES / "c_eu_semicolon.csv").read_bytes())
    assert (reading.delimiter, reading.layout, reading.time_form) == (";", "wide", "local")
    assert reading.time_columns == ("Datum", "Zeit") and reading.left_aside == ("Nr",)
    assert [c.name for c in reading.channels] == ["K1", "K2"]
    assert [str(sentence) for sentence in reading.said] == [
        "Windows-1252 (Latin-1), with semicolons between cells.",
        "12 lines of readings.",
        "Lines have date and time, and no time zone.",
        "Dates are day first.",
        "Numbers have a decimal comma.",
    ]
    assert reading.preview[0] == ("1", "29.03.2025", "23:52:00", "4,8", "21,0")
    assert len(reading.sha256) == 64
    (zone,) = reading.questions
    assert str(zone.asks) == "The logger file has no time zone. Where did its clock stand?"
    preamble = look((SAMPLES / "e_preamble_elapsed_hms.csv").read_bytes())
    assert preamble.preamble[0] == "Logger export" and preamble.trailer == ("End of data",)


def test_a_look_can_be_read_more_than_once_and_the_bytes_stay():
    data = SHAPES["iso with T"].data
    before = bytes(data)
    reading = look(data)
    utc = read(reading, Answers(zone="UTC"))
    later = read(reading, Answers(zone="-05:00"))
    assert later["core"].time_s[0] - utc["core"].time_s[0] == 5 * 3600
    assert data == before and utc.sha256 == reading.sha256
    with pytest.raises(KeyError):
        utc["lid"]
