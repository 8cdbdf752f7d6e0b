"""How it was reckoned: everything that someone else needs to reckon the numbers again."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench import __version__
from trialbench.figures.directed import Directed, directed, turned
from trialbench.findings.finding import Finding
from trialbench.findings.phrases import p_text
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import model_in_words, redraw_sentence, short_form
from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure, shortest
from trialbench.model.records import Draw, Sitting
from trialbench.notebook import views
from trialbench.planning.draw_rule import set_aside
from trialbench.planning.seal import WHAT_IT_SHOWS, untouched, what_is_sealed
from trialbench.planning.stage_words import listed
from trialbench.report.counting import what_counts
from trialbench.report.reckoned_several import several_sections
from trialbench.report.words import (
    ReportTable,
    Section,
    Text,
    interval,
    said_date,
    said_moment,
    signed,
)

DECIMALS = 3


def reckoned(records: TrialRecords, found: TrialFinding) -> tuple[Section, ...]:
    """The sections of the second page, those with nothing to say left out."""
    sections = several_sections(found)
    deciding = found.deciding
    if deciding is not None:
        seen = directed(deciding)
        sections += [
            Section(
                msg("What counts"),
                (what_counts(deciding.unit, deciding.counts), model_in_words(deciding)),
            ),
            _days(found, deciding, seen),
            Section(msg("The interval"), tuple(_interval(deciding, seen))),
            Section(msg("Others like them"), tuple(_others(deciding, seen))),
            Section(msg("Redraw"), tuple(_redraw(deciding))),
            Section(msg("What else we looked at"), tuple(_what_else(found))),
            Section(msg("Set aside"), tuple(_set_aside(found))),
            Section(msg("Notes"), notes_of(deciding)),
        ]
    sections += [
        Section(msg("Missing"), tuple(missing_lines(found))),
        Section(msg("How the data came about"), found.cautions),
        Section(msg("Seal and lots"), tuple(_seal_and_lots(records))),
        _sealed(records),
        _keys(records),
        Section(msg("Data and versions"), tuple(_versions(records, deciding))),
    ]
    return tuple(section for section in sections if not section.empty)


def _days(found: TrialFinding, finding: Finding, seen: Directed) -> Section:
    if not finding.cook_differences:
        return Section("")
    dates = dict(found.cook_dates)
    turn = 1.0 if seen.first == finding.comparison.a else -1.0
    pairs = any(len(day.pairs) > 1 for day in finding.cook_differences)
    rows: list[tuple[Text, ...]] = []
    for day in finding.cook_differences:
        means = (day.mean_a, day.mean_b)
        first, second = means if turn > 0 else means[::-1]
        row: list[Text] = [
            _day(day.cook, dates.get(day.cook, "")),
            str(day.tasters) if day.tasters else "\u2013",
            figure(first, DECIMALS),
            figure(second, DECIMALS),
            signed(turn * day.difference, DECIMALS),
        ]
        if pairs:
            inside = [p.difference for p in day.pairs]
            row.append(", ".join("\u2013" if d is None else signed(turn * d, 2) for d in inside))
        rows.append(tuple(row))
    less = msg("{first} less {second}", first=seen.first, second=seen.second)
    heads: list[Text] = [msg("cook day"), msg("tasters"), seen.first, seen.second, less]
    if pairs:
        heads.append(msg("its pairs"))
    table = ReportTable(tuple(heads), tuple(rows), numbers=tuple(range(1, len(heads))))
    return Section(msg("One number a cook day"), table=table)


def _day(cook: str, date: str) -> Text:
    return msg("{cook}, {day}", cook=cook, day=said_day(date)) if date else cook


def _interval(finding: Finding, seen: Directed) -> Iterator[Message]:
    plain = finding.comparison
    if seen.estimate is None:
        yield msg("No estimate.")
        return
    mean = signed(seen.estimate, DECIMALS)
    if plain.sd is None or plain.df is None or seen.low is None:
        yield msg("Mean {mean}; no degrees of freedom are left for an interval.", mean=mean)
        return
    yield msg(
        "Mean {mean}, spread {sd}, {df} degrees of freedom, standard error {se}, alpha {alpha}, "
        "two-sided.",
        mean=mean,
        sd=figure(plain.sd, DECIMALS),
        df=plain.df,
        se="\u2013" if plain.se is None else figure(plain.se, DECIMALS),
        alpha=shortest(finding.alpha, 4),
    )
    if plain.t is not None and plain.p is not None:
        t = plain.t if seen.first == plain.a else -plain.t
        yield msg("t = {t}, {p}.", t=figure(t, DECIMALS), p=p_text(plain.p))
    levels = (1 - finding.alpha, 1 - 2 * finding.alpha)
    yield msg(
        "{outer} %: {interval}. {inner} %: {narrow}.",
        outer=shortest(100 * levels[0], 1),
        interval=interval(seen.low, seen.high, DECIMALS),
        inner=shortest(100 * levels[1], 1),
        narrow=interval(seen.inner_low, seen.inner_high, DECIMALS),
    )
    if finding.matters is not None:
        yield msg("Smallest difference that matters: {d}.", d=shortest(finding.matters))


def _others(finding: Finding, seen: Directed) -> Iterator[Message]:
    others = finding.comparison.others
    if others is None:
        return
    low, high = others.low, others.high
    if seen.first != finding.comparison.a:
        low, high = -high, -low
    if others.cooks is not None and others.tasters is not None:
        yield msg(
            "Half-widths {cooks} from cook days, {tasters} from tasters, less {overlap} counted "
            "twice.",
            cooks=figure(others.cooks, DECIMALS),
            tasters=figure(others.tasters, DECIMALS),
            overlap=figure(others.overlap or 0.0, DECIMALS),
        )
    level = shortest(100 * (1 - finding.alpha), 1)
    yield msg("{level} %: {interval}.", level=level, interval=interval(low, high, DECIMALS))
    if others.p is not None:
        yield msg("The largest level at which it holds 0: {p}.", p=p_text(others.p))


def _redraw(finding: Finding) -> Iterator[Message]:
    said = redraw_sentence(finding) if finding.case != "no_claim" else None
    if said is not None:
        yield said
        yield msg("It speaks of these units and tasters.")


def _what_else(found: TrialFinding) -> Iterator[Message]:
    for other in found.others:
        plain = other.comparison
        if plain.p is None or other.holm_p is None:
            continue
        yield msg(
            "{outcome}: {p} alone, {holm} after Holm.",
            outcome=other.outcome,
            p=p_text(plain.p),
            holm=p_text(other.holm_p),
        )
    if found.others:
        yield msg("Read as one family; their intervals are not widened for it.")


def _set_aside(found: TrialFinding) -> Iterator[Message]:
    for answer in found.other_answers:
        finding = answer.finding
        names = found.names_of(finding.outcome)
        what = ", ".join(f"{name} ({why})" for name, why in answer.subjects)
        first = directed(found.deciding).first if found.deciding else finding.comparison.a
        estimate, low, high, _, _ = turned(finding.comparison, first)
        size = "\u2013" if estimate is None else signed(estimate, DECIMALS)
        shown = {
            "what": what,
            "size": size,
            "interval": interval(low, high, DECIMALS),
            "short": short_form(finding, names),
        }
        if answer.way == "without":
            yield msg("Without {what}: {size} ({interval}). {short}.", **shown)
        else:
            yield msg("With {what}: {size} ({interval}). {short}.", **shown)


def notes_of(finding: Finding) -> tuple[Message, ...]:
    """What must be known of the numbers, without what the redraw test says."""
    redraw = redraw_sentence(finding)
    return tuple(note for note in finding.notes if note != redraw)


def missing_lines(found: TrialFinding) -> Iterator[Message]:
    """What is missing of each method, with its reason; what is alike stands together."""
    alike: dict[tuple[str, str, int], list[Text]] = {}
    for gone in found.missing:
        alike.setdefault((gone.method, gone.reason, gone.count), []).append(gone.outcome)
    for (method, reason, count), outcomes in alike.items():
        yield msg(
            "{method}: {count} missing in {outcomes}; {reason}.",
            method=method,
            count=count,
            outcomes=listed(outcomes),
            reason=reason or msg("no reason written"),
        )
    if alike:
        yield msg("Missing is missing: never counted as zero, never filled in.")


def _why_drawn(draw: Draw, before: Draw | None) -> Message:
    why = draw.reason.rstrip(".")
    if before is None:
        return msg("Draw {number} is of pieces that came later: {why}.", number=draw.number,
                   why=why)  # fmt: skip
    return msg("Draw {number} was set aside: {why}.", number=before.number, why=why)


def _seal_and_lots(records: TrialRecords) -> Iterator[Message]:
    trial_id = records.trial.id
    draws, aside = views.draws(records, trial_id), set_aside(records)
    for draw in draws:
        made = said_moment(draw.made_utc, draw.offset_min)
        inside = msg("pairs") if draw.within == "pair" else msg("cook days")
        yield msg(
            "Draw {number} of {count}, {made}: within {inside}, lot number {lot}.",
            number=draw.number,
            count=len(draws),
            made=made,
            inside=inside,
            lot=draw.lot_number,
        )
        if draw.reason:
            yield _why_drawn(draw, aside.get(draw.id))
    if draws and records.trial.draw_early_reason:
        yield msg("Lots were drawn before the weights of the parting: {why}.",
                  why=records.trial.draw_early_reason.rstrip("."))  # fmt: skip
    seal = views.seal(records, trial_id)
    if seal is None:
        yield msg("The plan was not sealed.")
        return
    made = said_moment(seal.made_utc, seal.offset_min)
    yield msg("Sealed {made}, fingerprint {print}.", made=made, print=seal.fingerprint)
    yield WHAT_IT_SHOWS
    if not untouched(seal):
        yield msg("The sealed text no longer has its fingerprint: it was changed by something "
                  "else than this program.")  # fmt: skip


def _sealed(records: TrialRecords) -> Section:
    """What the seal holds, line by line."""
    seal = views.seal(records, records.trial.id)
    if seal is None:
        return Section("")
    lines = [line for line in what_is_sealed(seal) if line.value != seal.fingerprint]
    rows = tuple((line.label, line.value) for line in lines)
    return Section(msg("What was sealed"), table=ReportTable((msg("line"), msg("sealed")), rows))


def _keys(records: TrialRecords) -> Section:
    heads = (msg("sitting"), msg("opened"), msg("lot number"), msg("fingerprint begins"))
    rows: list[tuple[Text, ...]] = []
    for sitting in records.of(Sitting):
        if not sitting.key_fingerprint:
            continue
        opened = sitting.key_state == "open"
        day = said_date(sitting.opened_utc, sitting.offset_min) if opened else msg("still sealed")
        lot = "\u2013" if sitting.lot_number is None else str(sitting.lot_number)
        rows.append((str(sitting.number), day, lot, sitting.key_fingerprint[:16]))
    if not rows:
        return Section("")
    return Section(msg("Keys"), table=ReportTable(heads, tuple(rows), numbers=(2, 3)))


def _versions(records: TrialRecords, finding: Finding | None) -> Iterator[Message]:
    yield msg(
        "Trial {number}, id {id}. Policy {policy}.",
        number=records.trial.number,
        id=records.trial.id,
        policy=finding.policy if finding else records.trial.policy,
    )
    yield msg(
        "Reckoned with Trialbench {own}, {libraries}.", own=__version__, libraries=_libraries()
    )
    if records.trial.remark:
        yield msg("{remark}", remark=records.trial.remark)


def _libraries() -> str:
    from importlib.metadata import version

    return ", ".join(f"{name} {version(name)}" for name in ("numpy", "scipy"))
