"""Digits of agreement for choices, ranks, boxes, ordered answers, blinding and pooling."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from tests.reference.digits import HERE, Agreement, expected, table
from trialbench.stats import blinding, boxes, choice, ordinal, pool, ranks, tasters
from trialbench.stats.binomial import exact_limits, two_sided
from trialbench.stats.choice_forms import FORMS
from trialbench.stats.choice_replicated import log_chances

BETWEEN = {"REML": "restricted-likelihood", "DL": "moments", "PM": "generalised-q",
           "ML": "likelihood", "EE": "none"}  # fmt: skip
ICC_TABLE = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
"""Shrout and Fleiss 1979, table 2 (from memory): 6 targets by 4 judges."""


def binomial_cases() -> Iterator[Agreement]:
    """Exact p, limits and share who can tell against R."""
    for case in expected("discrimination.json")["binom_tests"]:
        right, of, guess = case["x"], case["n"], case["p0"]
        name = f"{right} of {of}"
        for ours, theirs in zip(
            exact_limits(right, of, 0.05), case["ci95_two_sided_clopper_pearson"], strict=True
        ):
            yield Agreement("R", name, "exact limits", ours, theirs)
        form = "triangle" if guess < 0.4 else "2-afc"
        if case["alternative"] == "greater":
            result = choice.judge(right, of, form)
            yield Agreement("R", name, "choice p", result.p, case["p"])
            if case["share_of_discriminators"]:
                told = case["share_of_discriminators"]
                yield Agreement("R", name, "share", result.share, told["estimate"])
                yield Agreement("R", name, "share low", result.share_inner_low, told["ci90"][0])
                yield Agreement("R", name, "share high", result.share_inner_high, told["ci90"][1])
        elif case["alternative"] == "two.sided":
            yield Agreement("R", name, "choice p two-sided", two_sided(right, of, guess), case["p"])


def panel_cases() -> Iterator[Agreement]:
    """Power and critical counts against R."""
    file = expected("discrimination.json")
    for case in file["power"]:
        share = (case["p1"] - case["p0"]) / (1 - case["p0"])
        form = "triangle" if case["p0"] < 0.4 else "2-afc"
        ours = choice.power(case["n"], form, share, case["alpha"], one_sided=not case["two_sided"])
        yield Agreement("R", f"n {case['n']}", "choice power", ours, case["power"])
    for case in file["minimum_correct"]:
        form = "triangle" if "1_3" in case["test"] else "2-afc"
        ours = choice.fewest_right(
            case["n"], form, case["alpha"], one_sided=case["test"].startswith("one")
        )
        yield Agreement("R", f"n {case['n']}", "fewest right", ours or 0, case["min_correct"] or 0)


def d_prime_cases() -> Iterator[Agreement]:
    """d-prime, its standard error and likelihood limits, against R's own integrals; and a table."""
    for case in expected("choices.json")["d_prime"]:
        result = choice.judge(case["right"], case["of"], case["form"])
        name = f"{case['form']} {case['right']} of {case['of']}"
        yield Agreement("R", name, "d-prime", result.d_prime or 0.0, case["d_prime"])
        yield Agreement("R", name, "d-prime se", result.se or 0.0, case["se"])
        yield Agreement("R", name, "d-prime low", result.d_prime_low or 0.0, case["low"])
        yield Agreement("R", name, "d-prime high", result.d_prime_high or 0.0, case["high"])


def several_answers_cases() -> Iterator[Agreement]:
    """Replicated answers and "no preference" against R's integrate and optim."""
    file = expected("choices.json")
    for case in file["replicated"]:
        found = choice.replicated(case["right"], case["of"], case["form"])
        pairs = {
            "share": (found.share, case["share"]), "spread": (found.spread, case["spread"]),
            "share se": (found.share_se or 0.0, case["se"][0]),
            "spread se": (found.spread_se or 0.0, case["se"][1]),
            "log-likelihood": (found.log_likelihood, case["log_likelihood"]),
            "share low": (found.share_low, case["share_low"]),
            "share high": (found.share_high, case["share_high"]),
        }  # fmt: skip
        for name, (ours, theirs) in pairs.items():
            yield Agreement("R", case["form"], f"replicated {name}", ours, theirs)
        counts = list(zip(case["right"], case["of"], strict=True))
        chances = log_chances(counts, FORMS[case["form"]].guess)
        at = float(chances(case["share"], case["spread"]).sum())
        yield Agreement("R", case["form"], "beta integral", at, case["by_integral"])
    for case in file["preferences"]:
        found = choice.preference(case["a"], case["b"], case["neither"])
        for name in ("d_prime", "band"):
            yield Agreement("R", f"{case['a']}:{case['b']}", f"preference {name}",
                            getattr(found, name), case[name])  # fmt: skip
        for name, theirs in {"se": "se", "low": "low", "high": "high"}.items():
            yield Agreement("R", f"{case['a']}:{case['b']}", f"preference d_prime {name}",
                            getattr(found, f"d_prime_{name}"), case[theirs])  # fmt: skip


def _friedman_table(case: dict) -> object:
    if "table" in case:
        return case["table"]
    cake = pd.DataFrame(table("cake.csv"))
    return cake.groupby(["replicate", "recipe"])["angle"].sum().unstack()


def rank_cases() -> Iterator[Agreement]:
    """Friedman, Page and the incomplete blocks against R, coin and going through all orders."""
    for case in expected("ranks.json")["friedman"]:
        rows, name = _friedman_table(case), case["id"]
        result, trend = ranks.friedman(rows), ranks.page(rows)
        exact, f = case["exact_permutation"], case["iman_davenport"]
        pairs = {
            "Friedman chi2": (result.chi2, case["chi2"]), "F": (result.F, f["F"]),
            "Friedman p chi2": (result.p_chi2, case["p_chi2"]),
            "Friedman p F": (result.p_f, f["p"]),
            "Friedman p exact": (result.p_exact, exact["p_friedman"]),
            "Kendall W": (result.kendall_w, case["kendall_w_tie_corrected"]),
            "least difference": (
                result.least_difference, case["rank_sum_critical_difference_05"]["lsd"]
            ),
            "least difference of all": (
                result.least_difference_all, case["rank_sum_critical_difference_05"]["hsd"]
            ),
            "Page L": (trend.L, case["page"]["L"]),
            "Page z": (trend.z, case["page"]["z_coin_tie_corrected"]),
            "Page p exact": (trend.p, exact["p_page_increasing"]),
            "Page p falling": (trend.p_falling, exact["p_page_decreasing"]),
        }  # fmt: skip
        for quantity, (ours, theirs) in pairs.items():
            yield Agreement("R", name, quantity, ours, theirs)
        for ours, theirs in zip(result.pairs, case["pairwise_sign_tests"], strict=True):
            yield Agreement("R", name, "pair p", ours.p, theirs["p"])
            yield Agreement("R", name, "pair p Holm", ours.p_holm, theirs["p_holm"])
    for case in expected("rank_tables.json")["incomplete"]:
        long = [(f"t{i}", m, v) for i, b in enumerate(case["blocks"]) for m, v in b.items()]
        frame = pd.DataFrame(long, columns=["taster", "method", "score"])
        result = ranks.durbin(frame)
        for name in ("chi2", "df", "p_chi2", "p_exact"):
            yield Agreement("R", case["id"], f"Durbin {name}", getattr(result, name), case[name])


def box_cases() -> Iterator[Agreement]:
    """Cochran's Q and McNemar against R."""
    for case in expected("ranks.json")["cochran_q"]:
        result = boxes.cochran_q(case["table"])
        yield Agreement("R", case["id"], "Cochran Q", result.Q, case["Q"])
        yield Agreement("R", case["id"], "Cochran p", result.p_chi2, case["p_chi2"])
    for case in expected("ranks.json")["mcnemar"]:
        result = boxes.mcnemar(case["n10"], case["n01"], 81)
        pairs = {
            "p": (result.p, case["p_exact_two_sided"]),
            "mid-p": (result.p_mid, case["p_exact_midp"]),
            "chi2": (result.chi2, case["chi2_uncorrected"]["chi2"]),
            "p chi2": (result.p_chi2, case["chi2_uncorrected"]["p"]),
            "chi2 corrected": (result.chi2_corrected, case["chi2_continuity"]["chi2"]),
            "difference": (result.difference, case["diff_proportions"]),
            "odds ratio": (result.odds_ratio, case["odds_ratio"]),
            "share low": (result.share_low, case["share_first_ci95_clopper_pearson"][0]),
            "share high": (result.share_high, case["share_first_ci95_clopper_pearson"][1]),
        }
        for name, (ours, theirs) in pairs.items():
            yield Agreement("R", case["id"], f"McNemar {name}", ours, theirs)


def ordinal_cases() -> Iterator[Agreement]:
    """Cumulative models against R's ordinal (small data: soup is checked in its own test)."""
    for case in expected("ordinal.json")["cases"]:
        if case["data_file"] == "wine.csv":
            yield from one_ordinal(case)


def one_ordinal(case: dict) -> Iterator[Agreement]:
    """One fitted model beside R's: estimates and standard errors in R's order."""
    frame = pd.read_csv(HERE / "data" / case["data_file"])
    formula = case["formula"]
    found = ordinal.fit(frame, formula, case["random"], case["link"])
    kind = "with taster" if case["random"] else "plain"
    rows = (*found.thresholds, *found.coefficients)
    for ours, theirs in zip(rows, case["coefficients"], strict=True):
        yield Agreement("R", case["id"], f"ordinal {kind}", ours.estimate, theirs["estimate"])
        yield Agreement("R", case["id"], f"ordinal se {kind}", ours.se, theirs["se"])
    yield Agreement("R", case["id"], f"ordinal log-likelihood {kind}", found.log_likelihood,
                    case["log_lik"])  # fmt: skip
    if case["random"]:
        yield Agreement("R", case["id"], "ordinal sd", found.taster_sd, case["sd"])


def pool_cases() -> Iterator[Agreement]:
    """Pooled effects against metafor, at its tightest tolerances where it has them."""
    for case in expected("meta_analysis.json")["cases"]:
        how, test = case["id"].split("_")[1:]
        ours = pool(case["yi"], case["sei"], BETWEEN[how], test == "knha")
        label = "pool (PM at its default tolerance)" if how == "PM" else "pool"
        theirs = {
            "estimate": case["estimate"], "se": case["se"], "p": case["p"],
            "low": case["ci95"][0], "high": case["ci95"][1], "between_variance": case["tau2"],
            "Q": case["Q"], "Q_p": case["Q_p"], "I2": case["I2_percent"] / 100, "H2": case["H2"],
        }  # fmt: skip
        if case["prediction_interval95"]:
            theirs["prediction_low"], theirs["prediction_high"] = case["prediction_interval95"]
            theirs["between_se"] = case["se_tau2"]
            theirs["between_high"] = case["tau2_ci95_q_profile"][1]
        for name, value in theirs.items():
            yield Agreement("R", case["id"], f"{label} {name}", getattr(ours, name), value)
    for case in expected("meta_more.json")["cases"]:
        yield from _more_pooling(case)


def _more_pooling(case: dict) -> Iterator[Agreement]:
    ours = pool(case["yi"], case["sei"], BETWEEN[case["method"]], case["test"] == "knha")
    name = f"{case['id']} {case['method']} {case['test']}"
    held = case["test"] == "knha" and case["se"] < case["common_se"]
    theirs = {"estimate": case["estimate"], "between_variance": case["tau2"], "Q": case["Q"]}
    if held:
        theirs["se"] = case["common_se"]
    else:
        theirs |= {k: case[k] for k in ("se", "p", "low", "high")}
        theirs["prediction_low"], theirs["prediction_high"] = case["prediction"]
    for quantity, value in theirs.items():
        yield Agreement("R", name, f"pool {quantity}", getattr(ours, quantity), value)
    for one, value in zip(ours.leave_one_out, case.get("without") or [], strict=False):
        yield Agreement("R", name, "pool leave one out", one.estimate, value)


def published_cases() -> Iterator[Agreement]:
    """Published worked examples, to the figures that were printed or reckoned."""
    treated, control = blinding.by_method(82, 25, 170), blinding.by_method(29, 27, 83)
    james = blinding.overall([[82, 27], [25, 29], [170, 83]])
    source = "Bang, Ni, Davis 2004"
    for name, ours, theirs in (
        ("Bang", treated.index, 0.2058), ("Bang", control.index, 0.0144),
        ("Bang se", treated.se, 0.0352), ("Bang se", control.se, 0.0538),
        ("James", james.index, 0.74793), ("James se", james.se, 0.02174),
        ("James low", james.low, 0.70532), ("James high", james.high, 0.79053),
    ):  # fmt: skip
        yield Agreement("print", source, name, ours, theirs)
    frame = pd.DataFrame(
        [(i, j, v) for i, row in enumerate(ICC_TABLE) for j, v in enumerate(row)],
        columns=["sample", "taster", "score"],
    )
    icc = tasters.intraclass(frame, "score", "taster", "sample")
    for name, theirs in {"agreement": 0.29, "consistency": 0.71, "agreement_of_mean": 0.62,
                         "consistency_of_mean": 0.91}.items():  # fmt: skip
        yield Agreement("print", "Shrout, Fleiss 1979", f"ICC {name}", getattr(icc, name), theirs)


def all_choices() -> list[Agreement]:
    """Everything of this file."""
    parts = (binomial_cases, panel_cases, d_prime_cases, several_answers_cases, rank_cases,
             box_cases, ordinal_cases, pool_cases, published_cases)  # fmt: skip
    return [each for part in parts for each in part()]
