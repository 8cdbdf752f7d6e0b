"""One analysis over all cook days of trials that asked the same (one stage, from the scores).

A cook day stays one number, D_k, as within a trial. For these trials the error is the scatter of
days within trials; for others like them also how much the trials' own answers differ.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.likeness import Spread
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed, mean, one_text, plain, shown
from trialbench.stats.over import over_cooks
from trialbench.stats.pairs import ALL_EQUAL, check_alpha
from trialbench.stats.settings import size_or_none, zero_or_above

NULL_HYPOTHESIS = msg("Over the cook days of these trials the mean of a - b is 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialPart:
    """What one trial brings: its cook days and its own mean difference."""

    trial: str
    cooks: int
    estimate: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WithoutTrial:
    """The answer without one trial (None where no scatter is left)."""

    trial: str
    estimate: float
    low: float | None
    high: float | None
    p: float | None
    null_hypothesis: Message = NULL_HYPOTHESIS


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledDays:
    """a - b over all cook days, in the units of the values; None has its reason in `notes`.

    `estimate` is the mean of all D_k. `se`, `df` (days less trials), `t`, `p`, `low`, `high`: for
    these trials, from the scatter of days within trials (`sd`). `others_*`: for other such trials,
    from the scatter of the trials' means too (df trials - 1), and never narrower than the first.
    `between_sd`: how much trials differ beyond their days' scatter (moments, 0 at least).
    """

    a: str
    b: str
    trials: tuple[TrialPart, ...]
    cooks: int
    estimate: float
    sd: float | None
    se: float | None
    df: int | None
    t: float | None
    p: float | None
    low: float | None
    high: float | None
    inner_low: float | None
    inner_high: float | None
    others_low: float | None
    others_high: float | None
    others_p: float | None
    between_sd: float | None
    leave_one_out: tuple[WithoutTrial, ...]
    left_out: tuple[str, ...]
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


def pool_cook_days(
    frame: frames.Frame,
    value: str,
    method: str,
    trial: str,
    cook: str,
    unit: str | None = None,
    *,
    taster: str | None = None,
    step: float | None = None,
    alpha: float = 0.05,
) -> PooledDays | NotApplicable:
    """Compare the two methods of a frame over the cook days of all its trials.

    Columns as for `over_cooks`, and `trial`. A trial with fewer than two cooks that carry both
    methods has batch scope and is left out. Raises `BadNumbers`; `NotApplicable` where fewer than
    two trials are left.
    """
    alpha, step = check_alpha(alpha), size_or_none(step, "step")
    names = [name for name in (value, method, cook, unit, taster) if name is not None]
    columns = {name: frames.column(frame, name) for name in names}
    frames.same_length({**columns, trial: frames.column(frame, trial)})
    rows = _rows_by_trial(frame, trial, frames.numbers(frame, value))
    a, b = frames.two_labels(frames.labels(frame, method))
    days: dict[str, list[float]] = {}
    floors: list[float] = []
    left_out = []
    for name, places in rows.items():
        part = {column: [own[i] for i in places] for column, own in columns.items()}
        if len({label for label in frames.labels(part, method) if label}) < 2:
            left_out.append(name)
            continue
        own = over_cooks(part, value, method, cook, unit, taster, step, alpha).cook_differences
        if len(own) < 2:
            left_out.append(name)
            continue
        days[name] = [day.difference for day in own]
        floors += [step**2 / (6 * max(day.tasters, 1)) if step else 0.0 for day in own]
    result = _pool(days, (a, b), alpha, mean(floors or [0.0]))
    if not left_out or isinstance(result, NotApplicable):
        return result
    note = msg_n("{count} trial has fewer than two cook days and stays out: {names}.",
                 "{count} trials have fewer than two cook days and stay out: {names}.",
                 len(left_out), names=", ".join(left_out))  # fmt: skip
    return replace(result, left_out=tuple(left_out), notes=(note, *result.notes))


def _rows_by_trial(
    frame: frames.Frame, trial: str, values: Sequence[float | None]
) -> dict[str, list[int]]:
    """Places of the rows with a value."""
    places: dict[str, list[int]] = defaultdict(list)
    for row, (name, value) in enumerate(zip(frames.labels(frame, trial), values, strict=True)):
        if value is None:
            continue
        if not name:
            raise BadNumbers(f"Row {row + 1} has no trial.", where=f"column {trial}, row {row + 1}",
                             allowed="a name")  # fmt: skip
        places[name].append(row)
    return dict(sorted(places.items()))


def pool_differences(
    differences: Mapping[str, Sequence[object]],
    methods: tuple[str, str] = ("a", "b"),
    *,
    alpha: float = 0.05,
    least_variance: float = 0.0,
) -> PooledDays | NotApplicable:
    """The same from the cook differences a - b of each trial, by the trial's name.

    `least_variance`: floor of the variance of one difference (rounding). A trial with fewer than
    two is left out. Raises `BadNumbers`.
    """
    alpha, least = check_alpha(alpha), zero_or_above(least_variance, "least_variance")
    if not isinstance(differences, Mapping):
        raise BadNumbers(f"differences is {shown(differences)}.", where="differences",
                         allowed="a mapping from trials to lists of numbers")  # fmt: skip
    names = frames.names(list(differences))
    if not all(names) or len(set(names)) < len(names):
        raise BadNumbers("A trial's name is missing or stands twice.", where="differences",
                         allowed="names once each")  # fmt: skip
    read = {
        name: [plain(x, f"trial {name}") for x in listed(own, f"trial {name}")]
        for name, own in zip(names, differences.values(), strict=True)
    }
    days = {k: [x for x in own if x is not None] for k, own in sorted(read.items())}
    return _pool(days, _two_methods(methods), alpha, least)


def _two_methods(methods: object) -> tuple[str, str]:
    given = listed(methods, "methods")
    if len(given) != 2:
        raise BadNumbers(f"{len(given)} methods.", where="methods", allowed="two names")
    first, second = (one_text(each, "methods", "two names") for each in given)
    return first, second


def _pool(
    days: dict[str, list[float]], methods: tuple[str, str], alpha: float, least_variance: float
) -> PooledDays | NotApplicable:
    short = tuple(k for k, own in days.items() if len(own) < 2)
    days = {k: own for k, own in days.items() if k not in short}
    if len(days) < 2:
        return NotApplicable(msg("Fewer than two trials with two cook days: nothing to pool."))
    result = _pooled(days, methods, alpha, least_variance)
    without = [
        _without(name, _pooled({k: v for k, v in days.items() if k != name}, methods, alpha,
                               least_variance))
        for name in days
    ]  # fmt: skip
    return replace(result, leave_one_out=tuple(without), left_out=short)


def _without(trial: str, rest: PooledDays) -> WithoutTrial:
    return WithoutTrial(trial=trial, estimate=rest.estimate, low=rest.low, high=rest.high, p=rest.p)


def _pooled(
    days: Mapping[str, Sequence[float]], methods: tuple[str, str], alpha: float, least: float
) -> PooledDays:
    everything = [x for own in days.values() for x in own]
    n, k, estimate = len(everything), len(days), mean(everything)
    parts = tuple(TrialPart(trial=t, cooks=len(o), estimate=mean(o)) for t, o in days.items())
    within = math.fsum((x - mean(own)) ** 2 for own in days.values() for x in own) / (n - k)
    if math.sqrt(within) <= ALL_EQUAL * max(abs(x) for x in everything):
        within = 0.0
    within = max(within, least)
    plain_result = PooledDays(
        a=methods[0], b=methods[1], trials=parts, cooks=n, estimate=estimate,
        **dict.fromkeys(("sd", "se", "df", "t", "p", "low", "high", "inner_low", "inner_high",
                         "others_low", "others_high", "others_p", "between_sd")),
        leave_one_out=(), left_out=(), alpha=alpha, null_hypothesis=NULL_HYPOTHESIS,
        notes=(msg("All cook days of a trial give one difference: no scatter, so no interval."),),
    )  # fmt: skip
    if within == 0.0:
        return plain_result
    cooks = Spread(math.sqrt(within / n), n - k)
    trials = _of_trials(parts, estimate, n)
    wide, narrow = cooks.half_width(alpha), cooks.half_width(2 * alpha)
    others = max(wide, trials.half_width(alpha)) if trials else None
    return replace(
        plain_result, sd=math.sqrt(within), se=cooks.scale, df=n - k, t=estimate / cooks.scale,
        p=cooks.level_at(abs(estimate)), low=estimate - wide, high=estimate + wide,
        inner_low=estimate - narrow, inner_high=estimate + narrow,
        others_low=estimate - others if others else None,
        others_high=estimate + others if others else None,
        others_p=max(s.level_at(abs(estimate)) for s in (cooks, trials)) if trials else None,
        between_sd=_between(parts, within, n),
        notes=_notes({part.cooks for part in parts}, k, wide, others),
    )  # fmt: skip


def _of_trials(parts: Sequence[TrialPart], estimate: float, n: int) -> Spread | None:
    """Error of the estimate for other trials: the trials' means about it, weighed by their days."""
    k = len(parts)
    if k < 2:
        return None
    away = math.fsum((part.cooks / n * (part.estimate - estimate)) ** 2 for part in parts)
    # With equal weights this is the variance of the means over k.
    weight = 1 - math.fsum((part.cooks / n) ** 2 for part in parts)
    return Spread(math.sqrt(away / weight), k - 1)


def _between(parts: Sequence[TrialPart], within: float, n: int) -> float | None:
    """Square root of the variance between trials by moments (one-way analysis of variance)."""
    k = len(parts)
    if k < 2:
        return None
    middle = math.fsum(p.cooks * p.estimate for p in parts) / n
    between = math.fsum(p.cooks * (p.estimate - middle) ** 2 for p in parts) / (k - 1)
    size = (n - math.fsum(p.cooks**2 for p in parts) / n) / (k - 1)
    return math.sqrt(max(0.0, (between - within) / size))


def _notes(sizes: set[int], k: int, wide: float, others: float | None) -> tuple[Message, ...]:
    if others is None:
        return ()
    notes = [msg("For these {k} trials; for others like them see the wider interval.", k=k)]
    if len(sizes) > 1:
        notes.append(msg("Trials of unequal length: the interval for others misses up to 7 % of the"
                         " time, not 5 %."))  # fmt: skip
    if others == wide:
        notes.append(msg("The trials agree better than their cook days would let one expect: the "
                         "interval for others is held at that for these trials."))  # fmt: skip
    return tuple(notes)
