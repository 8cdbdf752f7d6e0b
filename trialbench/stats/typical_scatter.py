"""A small table of typical scatter, for planning before there are data of one's own.

Each row comes from a published experiment by `fit_mixed` (REML), as standard deviations in the
outcome's units; the tests reckon them again from the data. A component the data could not show is
None. They are starting points: kitchens, pieces and panels differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.stats.scatter import Scatter


@dataclass(frozen=True, slots=True, kw_only=True)
class TypicalScatter:
    """Scatter of one outcome. `data` names the experiment, `model` what was fitted to it."""

    name: str
    scale: str
    cook: float | None = None
    cook_method: float | None = None
    unit: float | None = None
    taster: float | None = None
    taster_method: float | None = None
    taster_cook: float | None = None
    score: float
    data: str
    model: tuple[str, tuple[str, ...]]
    columns: dict[str, str]
    """Component by the model's random term."""
    origin: str

    def scatter(self) -> Scatter:
        """For planning: components the data could not show count as 0."""
        return Scatter(
            cook=self.cook or 0.0,
            cook_method=self.cook_method or 0.0,
            unit=self.unit or 0.0,
            taster=self.taster or 0.0,
            taster_method=self.taster_method or 0.0,
            taster_cook=self.taster_cook or 0.0,
            score=self.score,
        )


_FRIES = "Potato fries in three oils, 10 weeks, 12 tasters (Iowa State University, 2004)"
_FRIES_TERMS = ("subject", "week", "week:treatment", "subject:treatment", "subject:week")
_FRIES_COLUMNS = {
    "taster": "subject", "cook": "week", "cook_method": "week:treatment",
    "taster_method": "subject:treatment", "taster_cook": "subject:week",
}  # fmt: skip
_HAM = "Dry-cured ham, 81 consumers (Naes and others 2010, doi 10.1016/j.foodqual.2009.09.004)"
_APPLE = "Aftertaste of four apple varieties, 20 tasters (DAAG, appletaste)"
_CAKE = "Chocolate cake, 15 batches of 3 recipes (Cook 1938, in Cochran and Cox 1957, p. 300)"
_MEAT = "Tenderness of beef roasts by pairs (Paul 1943, in Cochran and Cox 1957, section 11.51)"
_WINE = "Bitterness of wine, 9 judges, 8 bottles (Randall 1989, Biometrical Journal 7, 781)"

TYPICAL: tuple[TypicalScatter, ...] = (
    TypicalScatter(
        name="potato flavour of fries", scale="line 0 to 15",
        cook=1.008, cook_method=0.261, taster=2.276, taster_method=0.0, taster_cook=1.469,
        score=2.231, data="fries", model=("potato ~ C(treatment)", _FRIES_TERMS),
        columns=_FRIES_COLUMNS, origin=_FRIES,
    ),
    TypicalScatter(
        name="off flavour of fries", scale="line 0 to 15",
        cook=1.160, cook_method=0.578, taster=1.179, taster_method=0.085, taster_cook=1.587,
        score=2.514, data="fries", model=("painty ~ C(treatment)", _FRIES_TERMS),
        columns=_FRIES_COLUMNS, origin=_FRIES,
    ),
    TypicalScatter(
        name="liking of ham", scale="1 to 9",
        taster=0.611, taster_method=1.778, score=1.291, data="ham",
        model=("liking ~ C(product) * C(information)", ("consumer", "consumer:product")),
        columns={"taster": "consumer", "taster_method": "consumer:product"}, origin=_HAM,
    ),
    TypicalScatter(
        name="aftertaste of apples", scale="line 0 to 150",
        taster=17.814, score=27.057, data="appletaste",
        model=("aftertaste ~ C(product)", ("panelist",)),
        columns={"taster": "panelist"}, origin=_APPLE,
    ),
    TypicalScatter(
        name="angle at which cake breaks", scale="degrees",
        cook=6.174, unit=1.929, score=4.524, data="cake",
        model=("angle ~ recipe * C(temperature_f)", ("replicate", "replicate:recipe")),
        columns={"cook": "replicate", "unit": "replicate:recipe"}, origin=_CAKE,
    ),
    TypicalScatter(
        name="tenderness of roasts", scale="sum of four judges, 0 to 40",
        cook=2.906, unit=2.878, score=2.717, data="meat",
        model=("score ~ C(storage_days)", ("block", "pair")),
        columns={"cook": "block", "unit": "pair"}, origin=_MEAT,
    ),
    TypicalScatter(
        name="bitterness of wine", scale="line 0 to 100",
        unit=0.0, taster=7.509, taster_method=5.166, score=11.456, data="wine",
        model=("response ~ temp * contact", ("judge", "bottle", "judge:temp", "judge:contact")),
        columns={"unit": "bottle", "taster": "judge", "taster_method": "judge:contact"},
        origin=_WINE,
    ),
)  # fmt: skip
