"""What is written before anything is cooked: question, methods, what is measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialbench.model.record import Record


@dataclass(frozen=True, slots=True)
class Cover(Record):
    """The notebook itself: one record. Units are what the screen shows, never what is stored.

    `zone` is the kitchen's time zone by its name in the IANA data base, "" where it is not known.
    """

    kind: ClassVar[str] = "cover"
    name: str
    begun_utc: str
    temperature_unit: str = "C"
    mass_unit: str = "g"
    currency: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Trial(Record):
    """One question. `question` is better | at_least_as_good | which_setting | same_recipe.

    `usual` and `idea` are the two ways as written in the question (where it asks which setting,
    `idea` names what is varied: "medium and temperature"); `came_out` the word the cook used
    ("juicier"). `easier_id` is the method that is less work, where that is the question.
    `planned_*` are the plan's figures; `pieces_each` counts pieces per method and cook day, and
    `paired` says that they come as matched pairs. `loads` is alone | shared: whether the pieces of
    one method share a pan, bag, bath or box of their own.

    `shape` is two | several | levels | ordered | crossed. `usual_id` is the method that the others
    are held against; `compares` is all_pairs | with_usual. `reference` says what the reference
    sample of every sitting is, "" for none. `serving` is all | rounds (one product a round).
    `draw_early_reason` allows lots before the weights of the parting. `spares`, `portion_g` and
    `yield_percent` (served of raw) are what the buying list counts with. `most_samples` is how many
    samples a taster gets at one sitting, None for all.
    """

    kind: ClassVar[str] = "trial"
    number: int
    food: str
    chapter: str
    usual: str
    idea: str
    begun_utc: str
    question: str = "better"
    came_out: str = ""
    decides_id: str | None = None
    matters: float | None = None
    matters_typed: str = ""
    easier_id: str | None = None
    planned_cooks: int | None = None
    pieces_each: int = 1
    paired: bool = False
    loads: str = "alone"
    planned_tasters: int | None = None
    servings: int = 1
    alpha: float = 0.05
    policy: int = 1
    invented: bool = False
    remark: str = ""
    shape: str = "two"
    usual_id: str | None = None
    compares: str = "all_pairs"
    reference: str = ""
    serving: str = "all"
    draw_early_reason: str = ""
    spares: int = 0
    portion_g: float | None = None
    yield_percent: float | None = None
    most_samples: int | None = None


@dataclass(frozen=True, slots=True)
class Method(Record):
    """A way of cooking, shown as its letter with a short name. Origin: own | learned | cited.

    `departs` says where this trial departs from the method as it was learned or cited.
    """

    kind: ClassVar[str] = "method"
    trial_id: str
    letter: str
    name: str
    origin: str = "own"
    origin_note: str = ""
    departs: str = ""


@dataclass(frozen=True, slots=True)
class Stage(Record):
    """One step. `method_id` None: written once for all methods; else an own stage of one method.

    `stage_kind` and `medium` are words of model.words. The end is a time, a core temperature, a
    feel, or several of them. `salt_g_per_kg` counts on trimmed weight. `place` is the cooker, bath
    or box it takes, by name. `slice_mm` and `knife_to_mouth_min` are of the stage that serves. A
    field that differs between methods of a stage written once is held by `Part` records.
    """

    kind: ClassVar[str] = "stage"
    trial_id: str
    position: int
    stage_kind: str
    method_id: str | None = None
    medium: str = ""
    set_temp_c: float | None = None
    duration_s: float | None = None
    end_core_c: float | None = None
    end_feel: str = ""
    cover: str = ""
    vessel: str = ""
    salt_g_per_kg: float | None = None
    note: str = ""
    place: str = ""
    slice_mm: float | None = None
    knife_to_mouth_min: float | None = None


@dataclass(frozen=True, slots=True)
class Part(Record):
    """What one method has in one field of a stage that is otherwise written once.

    `field` is a field of Stage; `number` or `text` holds its value in the field's unit. Where a
    stage is parted every method has a Part.
    """

    kind: ClassVar[str] = "part"
    stage_id: str
    method_id: str
    field: str
    number: float | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Addition(Record):
    """What goes on, in or under the food at a stage: `role` rub | brine | medium | fuel | wood |
    other.

    `method_id` None: for all methods. `g_per_kg` counts on trimmed weight, `mass_g` on a load;
    `salt_percent` is the share of salt by weight in a rub or brine.
    """

    kind: ClassVar[str] = "addition"
    stage_id: str
    position: int
    role: str
    name: str
    method_id: str | None = None
    g_per_kg: float | None = None
    mass_g: float | None = None
    salt_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Expected(Record):
    """How long a stage is expected to take that ends by a core temperature or by feel.

    It reckons the timetable and is no part of the method. `method_id` None: for all methods.
    """

    kind: ClassVar[str] = "expected"
    trial_id: str
    stage_id: str
    duration_s: float
    method_id: str | None = None
    typed: str = ""


@dataclass(frozen=True, slots=True)
class Feel(Record):
    """One of the five words on the kitchen's own feel card. Belongs to the notebook."""

    kind: ClassVar[str] = "feel"
    position: int
    word: str
    meaning: str = ""


@dataclass(frozen=True, slots=True)
class Factor(Record):
    """What is varied on purpose. `stage_id` and `field` name the line of the methods it sets."""

    kind: ClassVar[str] = "factor"
    trial_id: str
    position: int
    name: str
    ordered: bool = False
    stage_id: str | None = None
    field: str = ""


@dataclass(frozen=True, slots=True)
class Level(Record):
    """One setting of a factor: a number in the unit of the factor's field, or text."""

    kind: ClassVar[str] = "level"
    factor_id: str
    position: int
    number: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Setting(Record):
    """At which level a method has a factor."""

    kind: ClassVar[str] = "setting"
    method_id: str
    level_id: str


@dataclass(frozen=True, slots=True)
class Price(Record):
    """What one `per` of something costs, in the cover's currency.

    `item` is food | medium | fuel | rub | cook_day | taster | other; `per` is kg | piece | l |
    cook_day | taster.
    """

    kind: ClassVar[str] = "price"
    trial_id: str
    item: str
    per: str
    amount: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Difference(Record):
    """What the cook says of a difference between methods: `role` is question | rider.

    `stage_id` and `field` name the line; field "" is a stage that only one method has.
    """

    kind: ClassVar[str] = "difference"
    trial_id: str
    stage_id: str
    field: str
    role: str


@dataclass(frozen=True, slots=True)
class Outcome(Record):
    """What is scored or measured. `source` is attribute | loss | yield | mass.

    `scale` is a word of model.scales for attributes. `better` is more | less | target | neither;
    `target` is what it should come closest to. `definition` says what the attribute means,
    `options` are the words of a check-all, one a line. `sighted` is scored in a second round with
    the eyes. `allows_neither` offers "no preference".
    `more_word`, `less_word` are the words of a sentence ("juicier", "less juicy"). A loss or yield
    runs from one checkpoint to another and is a percentage of the first.
    """

    kind: ClassVar[str] = "outcome"
    trial_id: str
    position: int
    name: str
    source: str = "attribute"
    scale: str = ""
    low: float | None = None
    high: float | None = None
    step: float | None = None
    unit: str = ""
    better: str = "more"
    more_word: str = ""
    less_word: str = ""
    asked_as: str = ""
    low_anchor: str = ""
    high_anchor: str = ""
    from_checkpoint_id: str | None = None
    to_checkpoint_id: str | None = None
    target: float | None = None
    definition: str = ""
    options: str = ""
    sighted: bool = False
    allows_neither: bool = False


@dataclass(frozen=True, slots=True)
class Checkpoint(Record):
    """A named weighing. `checkpoint_kind`: raw | trimmed | stage | rested | sliced | served."""

    kind: ClassVar[str] = "checkpoint"
    trial_id: str
    position: int
    name: str
    checkpoint_kind: str = "stage"
    stage_id: str | None = None
