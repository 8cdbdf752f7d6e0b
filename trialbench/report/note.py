"""The recipe note as one value that every form of the report writes."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.findings.finding import Finding
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.message import Message, msg
from trialbench.model.records import Decision, Method
from trialbench.notebook import views
from trialbench.planning.safety import LOCAL_CODE, cautions_of
from trialbench.report.claims import in_short, it_does_not_show, it_shows
from trialbench.report.claims_several import means_table
from trialbench.report.origin import origin_lines
from trialbench.report.outcomes import outcome_table
from trialbench.report.recipe import by_weight, recipe_lines
from trialbench.report.reckoned import reckoned
from trialbench.report.words import ReportTable, Section, Text, said_date


@dataclass(frozen=True)
class RecipeNote:
    """One side of paper for the next cook, and one for whoever reckons it again.

    `finding`, or `several` of three methods or more, and `names` are what its pictures are drawn
    from; `means` is then the table of every outcome by method, after that of the comparisons.
    `cautions` pairs each food caution with its source; `local_code` stands once under them.
    """

    title: Text
    under_title: tuple[Text, ...]
    recipe: tuple[Text, ...]
    weight: Text | None
    sections: tuple[Section, ...]
    outcomes: ReportTable | None
    cautions: tuple[tuple[Text, Text], ...]
    local_code: Text | None
    reckoned: tuple[Section, ...]
    short: Text
    finding: Finding | None = None
    names: Names | None = None
    several: SeveralFinding | None = None
    means: ReportTable | None = None


def recipe_note(records: TrialRecords, found: TrialFinding) -> RecipeNote:
    """The note of a trial: the method that the cook decided for, with what the trial shows."""
    method = noted_method(records, found)
    weight = by_weight(records, method) if method else None
    food = _food_cautions(records, method)
    deciding = found.deciding
    spoken = deciding or found.several
    decides = spoken.outcome if spoken else ""
    return RecipeNote(
        title=_title(records, method),
        under_title=tuple(_under_title(records, method)),
        recipe=recipe_lines(records, method) if method else (),
        weight=weight,
        sections=_sections(records, found),
        outcomes=outcome_table(found),
        cautions=food,
        local_code=LOCAL_CODE if method else None,
        reckoned=reckoned(records, found),
        short=in_short(found),
        finding=deciding,
        names=found.names_of(decides) if decides else None,
        several=found.several,
        means=means_table(found),
    )


def noted_method(records: TrialRecords, found: TrialFinding) -> Method | None:
    """The method of the note: the idea after "change", the usual way after "keep".

    Without such a decision the favoured one, else the usual way.
    """
    methods = views.methods(records, records.trial.id)
    decision = views.decision(records, records.trial.id)
    letters = {"change": "B", "keep": "A"}
    favours = found.favours
    if found.several is not None:
        usual = records.find(Method, records.trial.usual_id)
        letters = {"change": favours or "B", "keep": usual.letter if usual else "A"}
    wanted = letters.get(decision.choice if decision else "", favours or "A")
    return next((m for m in methods if m.letter == wanted), methods[0] if methods else None)


def _title(records: TrialRecords, method: Method | None) -> Text:
    food = records.trial.food or msg("Trial {number}", number=records.trial.number)
    if method is None or not method.name:
        return food
    name = method.name[:1].lower() + method.name[1:]
    return msg("{food}, {method}", food=food, method=name)


def _under_title(records: TrialRecords, method: Method | None) -> list[Text]:
    trial = records.trial
    lines: list[Text] = []
    if method is not None and not (trial.usual and trial.idea):
        lines.append(
            msg("Method {letter} of trial {number}.", letter=method.letter, number=trial.number)
        )
    elif method is not None and trial.question == "which_setting":
        lines.append(
            msg(
                "Method {letter} of trial {number}: which {varied}.",
                letter=method.letter,
                number=trial.number,
                varied=trial.idea,
            )
        )
    elif method is not None:
        lines.append(
            msg(
                "Method {letter} of trial {number}: {usual}, or {idea}.",
                letter=method.letter,
                number=trial.number,
                usual=trial.usual,
                idea=trial.idea,
            )
        )
    if method is not None:
        lines += origin_lines(method)
    if trial.invented:
        lines.append(msg("Invented: this trial was never cooked."))
    return lines


def _sections(records: TrialRecords, found: TrialFinding) -> tuple[Section, ...]:
    decision = views.decision(records, records.trial.id)
    sections = (
        Section(msg("It shows"), it_shows(found)),
        Section(msg("It does not show"), it_does_not_show(records, found)),
        _decided(decision) if decision else Section(""),
    )
    return tuple(section for section in sections if not section.empty)


def _decided(decision: Decision) -> Section:
    day = said_date(decision.made_utc, decision.offset_min)
    line = decision.reason or _CHOICES.get(decision.choice, msg("Decided."))
    return Section(msg("Decision"), (line,), small=msg("Written {day}, by you.", day=day))


_CHOICES: dict[str, Message] = {
    "keep": msg("It stays as it was."),
    "change": msg("Cooked the new way from now on."),
    "again": msg("To be tried again."),
}


def _food_cautions(records: TrialRecords, method: Method | None) -> tuple[tuple[Text, Text], ...]:
    if method is None:
        return ()
    return tuple(
        (caution.sentence, caution.source)
        for caution in cautions_of(records, records.trial.id)
        if method.letter in caution.letters
    )
