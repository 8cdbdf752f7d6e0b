"""What headings say: units, names of channels, columns that are no temperature or no channel."""

from __future__ import annotations

import re
from collections.abc import Sequence

from trialbench.exchange.logger_file_said import Unit

_UNIT_NAMES: dict[str, Unit] = {
    "c": "C", "cel": "C", "celsius": "C", "centigrade": "C", "f": "F", "fahrenheit": "F",
    "k": "K", "kelvin": "K",
}  # fmt: skip
_IN_BRACKETS = re.compile(
    r"[(\[{]\s*(?:[^\w\s)\]}]|deg\.?|degrees?)?\s*(c|f|cel|celsius|fahrenheit|kelvin)\s*[)\]}]",
    re.IGNORECASE,
)
_WITH_DEGREE = re.compile(
    r"(?:[°º˚\ufffd]|(?<![a-z])deg(?:rees?)?[._]?\s?)\s*(c|f|k|celsius|fahrenheit)(?![a-z])",
    re.IGNORECASE,
)
_WORD = re.compile(r"(?<![a-z])(celsius|fahrenheit|kelvin)(?![a-z])", re.IGNORECASE)
_AT_THE_END = re.compile(r"(?:_|(?<![a-z])temp(?:erature)?[ _.-]?)(c|f)\s*$", re.IGNORECASE)
_ALONE = re.compile(
    r"[^\w\s]?\s*(?:deg\.?\s?)?(c|f|k|cel|celsius|fahrenheit|kelvin)", re.IGNORECASE
)
_PREAMBLE = re.compile(
    r"(?:units?|einheit|scale|temperature)\W.*?(?<![a-z])(c|f|celsius|fahrenheit)(?![a-z])\W*$",
    re.IGNORECASE,
)
_LAST_LETTER = re.compile(r"(.*[_ ])([A-Z])\s*$", re.IGNORECASE)

_NO_TEMPERATURE = re.compile(
    r"%|(?<![a-z])(?:humidity|humid|rh|volt(?:age)?|batt(?:ery)?|mv|v|hpa|mbar|kpa|bar|pressure|rpm|"
    r"fan|weight|ppm|co2|watts?|power|signal|rssi|dbm|lux|speed)(?![a-z])",
    re.IGNORECASE,
)
_REMARK = re.compile(
    r"(?<![a-z])(?:events?|notes?|comments?|remarks?|marks?|markers?|alarms?|status|state|flags?)"
    r"(?![a-z])",
    re.IGNORECASE,
)
_ROW_NUMBER = re.compile(
    r"(?:#|n|nr|no|num(?:ber)?|row|line|index|idx|id|record|sample|scan|reading|lfd\.?\s?nr)\.?",
    re.IGNORECASE,
)
_CHANNEL = re.compile(
    r"(?<![a-z])(?:channels?|ch|sensors?|probes?|names?|locations?|kanal|fühler|sonde)(?![a-z])",
    re.IGNORECASE,
)
_UNIT_HEADING = re.compile(r"\s*(?:units?|einheit|scale)\s*", re.IGNORECASE)
_ELAPSED = re.compile(
    r"elapsed|duration|run\s?time|since|laufzeit|dauer|relative|(?<![a-z])t\s*[+(\[]|offset",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"clock|time of day|uhrzeit|heure|hora|local", re.IGNORECASE)
_TIME = re.compile(
    r"time|elapsed|zeit|dauer|uhr|temps|tiempo|tempo|hora|heure|date|datum|fecha|"
    r"(?<![a-z])(?:t|s|sec|secs|seconds?|min|mins|minutes?|h|hours?)(?![a-z])",
    re.IGNORECASE,
)
_TIME_UNIT = re.compile(
    r"(?<![a-z])(?:(ms|millisec\w*)|(s|secs?|seconds?|sek\w*)|(min|mins|minutes?|minuten)|"
    r"(h|hrs?|hours?|std|stunden)|(d|days?|tage))(?![a-z:])",
    re.IGNORECASE,
)


def unit_of(heading: str, siblings: Sequence[str] = ()) -> Unit | None:
    """The unit of temperature that a heading names, None where it names none."""
    found = _IN_BRACKETS.search(heading) or _WITH_DEGREE.search(heading) or _WORD.search(heading)
    if not found:
        found = _AT_THE_END.search(heading)
        if found and _is_a_letter_of_names(heading, siblings):
            found = None
    return _UNIT_NAMES[found[1].lower()] if found else None


def unit_alone(text: str) -> Unit | None:
    """The unit that a cell consists of."""
    found = _ALONE.fullmatch(text.strip().strip("()[]"))
    return _UNIT_NAMES[found[1].lower()] if found else None


def unit_in_preamble(lines: Sequence[str]) -> Unit | None:
    """The unit that the lines before the log name."""
    found = [match for line in lines if (match := _PREAMBLE.search(line))]
    return _UNIT_NAMES[found[-1][1].lower()] if found else None


def _is_a_letter_of_names(heading: str, siblings: Sequence[str]) -> bool:
    """probe_C beside probe_A and probe_B is a name, not a unit."""
    own = _LAST_LETTER.fullmatch(heading)
    others = [found for each in siblings if (found := _LAST_LETTER.fullmatch(each))]
    return own is not None and any(
        other[1] == own[1] and other[2].upper() not in "CF" for other in others
    )


def name_of(heading: str, number: int, siblings: Sequence[str] = ()) -> str:
    """The heading without its unit; "column 3" where there is none."""
    bare = heading.strip()
    if unit_of(heading, siblings):
        for pattern in (_IN_BRACKETS, _WITH_DEGREE, _WORD):
            bare = pattern.sub("", bare)
        bare = re.sub(r"_(c|f)\s*$", "", bare, flags=re.IGNORECASE)
    bare = re.sub(r"\(\s*\)|\[\s*\]", "", bare).strip(" \t_-,;:/")
    return bare or heading.strip() or f"column {number}"


def without_repeats(names: Sequence[str]) -> list[str]:
    """Names that each stand once: "Probe", "Probe (2)"."""
    taken: set[str] = set()
    made = []
    for name in names:
        number, free = 2, name
        while free in taken:
            free, number = f"{name} ({number})", number + 1
        taken.add(free)
        made.append(free)
    return made


def is_no_temperature(heading: str) -> bool:
    """Whether a heading names something else than a temperature."""
    return unit_of(heading) is None and bool(_NO_TEMPERATURE.search(heading))


def is_remark(heading: str) -> bool:
    """Whether a heading names a column of words."""
    return bool(_REMARK.search(heading))


def is_row_number(heading: str) -> bool:
    """Whether a heading is that of a running number."""
    return bool(_ROW_NUMBER.fullmatch(heading.strip()))


def is_channel(heading: str) -> bool:
    """Whether a heading is that of a column of channel names."""
    return bool(_CHANNEL.search(heading))


def is_unit_heading(heading: str) -> bool:
    """Whether a heading is that of a column of units."""
    return bool(_UNIT_HEADING.fullmatch(heading))


def is_time(heading: str) -> bool:
    """Whether a heading may be that of a time as a number."""
    return bool(_TIME.search(heading))


def says_elapsed(heading: str) -> bool:
    """Whether a heading speaks of time since a start."""
    return bool(_ELAPSED.search(heading))


def says_clock(heading: str) -> bool:
    """Whether a heading speaks of the time of day."""
    return bool(_CLOCK.search(heading))


def says_two_parts(heading: str) -> str | None:
    """ "h:mm" or "m:ss" where the heading spells it out."""
    plain = heading.lower().replace(" ", "")
    if "hh:mm" in plain or "h:mm" in plain:
        return "h:mm"
    return "m:ss" if "mm:ss" in plain or "m:ss" in plain else None


def time_unit(heading: str) -> str | None:
    """ms, s, min, h or d where the heading of a time names it."""
    found = _TIME_UNIT.search(heading.replace("_", " "))
    if not found:
        return None
    return ("ms", "s", "min", "h", "d")[(found.lastindex or 1) - 1]
