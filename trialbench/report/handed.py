"""What is kept of a note that left the notebook: its headline and its finding as JSON."""

from __future__ import annotations

import json

from trialbench.findings import wording_several
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import whole_headline
from trialbench.model.message import Message, msg, say


def headline_of(found: TrialFinding) -> Message:
    """The headline with what it holds for; why there is none where there is none."""
    if found.several is not None:
        several = found.several
        return wording_several.whole_headline(several, found.names_of(several.outcome))
    deciding = found.deciding
    if deciding is None:
        return found.why_nothing or msg("Nothing claimed")
    return whole_headline(deciding, found.names_of(deciding.outcome))


def finding_json(found: TrialFinding) -> str:
    """Every number of the finding and of the others, as the command line prints them."""
    deciding = found.deciding
    value: dict[str, object] = {"headline": say(headline_of(found))}
    if deciding is not None:
        value = deciding.to_json(say(headline_of(found)))
        value["others"] = [other.to_json() for other in found.others]
    if found.several is not None:
        value = found.several.to_json(say(headline_of(found)))
    return json.dumps(value, ensure_ascii=False, sort_keys=True)
