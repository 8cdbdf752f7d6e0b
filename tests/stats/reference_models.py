"""Models whose answers are known from R, read as the engine's users would write them."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pandas as pd

HERE = Path(__file__).parent.parent / "reference"
R_KEYS = {"kenward-roger": "kenward_roger", "satterthwaite": "satterthwaite"}


@dataclass(frozen=True)
class Known:
    """A model and R's answers."""

    name: str
    frame: pd.DataFrame
    fixed: str
    random: list[str]
    answers: dict


def data(name: str, **kinds) -> pd.DataFrame:
    return pd.read_csv(HERE / "data" / f"{name}.csv", **kinds)


def _frame(answers: dict) -> pd.DataFrame:
    frame = pd.read_csv(HERE / "data" / answers["data_file"])
    if answers["id"] == "milk_long":
        long = frame.melt("panelist", ["one", "four"], "additive", "sweetness")
        frame = long.astype({"panelist": str})
    if answers["id"] == "cake_linear_temp":
        frame["temp10"] = (frame["temperature_f"] - 200) / 10
    return frame.astype(dict.fromkeys(answers["factors"], str))


@cache
def stored_models() -> dict[str, Known]:
    found = {}
    for path in sorted((HERE / "expected").glob("lmm_*.json")):
        answers = json.loads(path.read_text())
        random = re.findall(r"\(1 \| ([^)]+)\)", answers["formula"])
        fixed = re.sub(r" \+ \(1 \|[^)]+\)", "", answers["formula"])
        found[answers["id"]] = Known(answers["id"], _frame(answers), fixed, random, answers)
    return found


@cache
def small_models() -> dict[str, Known]:
    frame = data("mixed_small_designs")
    models = json.loads((HERE / "expected" / "mixed_small_designs.json").read_text())["models"]
    return {
        model["design"]: Known(
            model["design"],
            frame[frame["design"] == model["design"]],
            model["fixed"],
            model["random"],
            model,
        )
        for model in models
    }
