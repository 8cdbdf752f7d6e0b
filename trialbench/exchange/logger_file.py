"""Reading what temperature loggers write, in two steps: look at the bytes, ask, read.

    >>> reading = look(path_bytes)                       # what was recognised, and what is asked
    >>> channels = read(reading, Answers(zone="+01:00"))  # seconds and °C by channel, with counts

The bytes are never changed. What has two readings is asked and not guessed.
"""

from __future__ import annotations

import hashlib

from trialbench.exchange.logger_file_said import (
    Answers,
    Channels,
    ChannelSeen,
    FileReading,
    LeftOut,
    LoggedChannel,
    NotAnswered,
    Question,
)
from trialbench.exchange.logger_file_text import read_bytes

__all__ = [
    "Answers",
    "ChannelSeen",
    "Channels",
    "FileReading",
    "LeftOut",
    "LoggedChannel",
    "NotAnswered",
    "Question",
    "look",
    "read",
    "read_bytes",
]


def look(data: bytes) -> FileReading:
    """What is in a logger file: form of the text, times, channels, and what has to be asked.

    Raises BadInput for what is no log as text (empty, a picture, a workbook, over 100 MB, no lines
    of numbers).
    """
    from trialbench.exchange.logger_file_seen import seen

    return seen(data, hashlib.sha256(data).hexdigest())


def read(source: bytes | FileReading, answers: Answers | None = None) -> Channels:
    """The readings of a file, or of a look at it, with these answers: all of it or nothing.

    Raises NotAnswered (a BadInput) while a needed question is open, and BadInput for an answer
    that cannot be used.
    """
    from trialbench.exchange.logger_file_readings import readings

    reading = source if isinstance(source, FileReading) else look(source)
    return readings(reading, answers or Answers())
