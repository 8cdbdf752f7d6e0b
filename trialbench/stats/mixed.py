"""The mixed model: fixed part by formula, random intercepts by grouping columns, REML.

>>> fit = fit_mixed(frame, "score ~ method", ["taster", "cook", "taster:method"])
>>> fit.differences("method")
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from scipy import linalg, special

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import mixed_contrasts, mixed_differences
from trialbench.stats.blas_threads import one_thread
from trialbench.stats.frames import Frame
from trialbench.stats.mixed_design import GROUPING, Design, read_design
from trialbench.stats.mixed_fit import Core, fit_core
from trialbench.stats.mixed_reml import VANISHED, Array
from trialbench.stats.mixed_small_sample import (
    SmallSample,
    small_sample,
    variances_covariance,
)
from trialbench.stats.mixed_table import NULL_HYPOTHESIS, rows_of, text_of_level
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_text, shown
from trialbench.stats.pairs import check_alpha
from trialbench.stats.read_only import ReadOnly
from trialbench.stats.settings import names

KENWARD_ROGER = "kenward-roger"
SATTERTHWAITE = "satterthwaite"


@dataclass(frozen=True, slots=True)
class JointTest:
    """F test that `term` does nothing. Unpacks as F, df1, df2, p."""

    F: float
    df1: int
    df2: float
    p: float
    term: str
    null_hypothesis: Message

    def __iter__(self) -> Iterator[float]:
        return iter((self.F, self.df1, self.df2, self.p))


@dataclass(frozen=True)
class MixedFit:
    """A fitted mixed model.

    `variances`: by random term and "residual", in squared units of the outcome, 0.0 where at the
    boundary (listed in `at_zero`). `left_out`: random terms that the data cannot tell apart, with
    the reason; they have no variance. `loglik_reml`: None where there is no scatter. `notes`: what
    else was done to odd data. `n`: rows used; `groups`: levels of each random term.
    """

    fixed: str
    random: tuple[str, ...]
    n: int
    groups: dict[str, int]
    variances: dict[str, float]
    at_zero: tuple[str, ...]
    loglik_reml: float | None
    left_out: dict[str, Message]
    notes: tuple[Message, ...]
    null_hypothesis: Message = NULL_HYPOTHESIS
    _design: Design = field(repr=False, compare=False, kw_only=True)
    _core: Core = field(repr=False, compare=False, kw_only=True)
    _samples: dict[str, SmallSample] = field(
        default_factory=dict, repr=False, compare=False, kw_only=True
    )

    def terms(self, small_sample: str = KENWARD_ROGER, alpha: float = 0.05) -> pd.DataFrame:
        """One row per fixed coefficient (index): estimate, se, df, t, p, low, high.

        Kenward-Roger with its adjusted se. NaN where there is no scatter to reckon from.
        """
        alpha = check_alpha(alpha)
        kept = len(self._design.fixed.kept)
        index = pd.Index(self._design.fixed.kept_names, name="term")
        return rows_of(self._estimates(np.eye(kept), small_sample), alpha).set_index(index)

    def means(
        self, factor: str, small_sample: str = KENWARD_ROGER, alpha: float = 0.05
    ) -> pd.DataFrame:
        """Marginal mean of each level of `factor`: level, estimate, se, df, t, p, low, high."""
        alpha = check_alpha(alpha)
        levels, rows = mixed_contrasts.marginal_means(self._design, factor)
        found = rows_of(self._on_all_columns(rows, small_sample), alpha)
        found.insert(0, "level", [text_of_level(level) for level in levels])
        return found

    def differences(
        self,
        factor: str,
        small_sample: str = KENWARD_ROGER,
        family: str = "none",
        usual: object = None,
        *,
        matters: float | None = None,
        alpha: float = 0.05,
    ) -> pd.DataFrame:
        """Differences a - b of marginal means of `factor`, each pair with a before b as text.

        Columns a, b, estimate, se, df, t, p, low, high. Means are averaged equally over the other
        factors. `family`: "none"; "tukey" (all pairs, Tukey-Kramer); "holm" (p by Holm, intervals
        by Bonferroni); "dunnett" (each level against `usual`). p, low and high then hold for the
        family. With `matters` also inner_low, inner_high (level 1 - 2 alpha, each by itself),
        equivalence_p (larger of two one-sided p against -matters and matters), and
        at_least_as_good_p of a ("a is not lower by matters"). NaN: not estimable.
        Raises `BadNumbers` for a column that is no factor, a family or level that is not there.
        """
        wanted = mixed_differences.Family(family, usual, matters, alpha)
        levels, rows = mixed_contrasts.marginal_means(self._design, factor)
        pairs = mixed_differences.pairs_of(levels, wanted)
        contrasts = np.array([rows[i] - rows[j] for i, j in pairs]).reshape(
            len(pairs), rows.shape[1]
        )
        values = self._on_all_columns(contrasts, small_sample)
        correlation = self._correlation(contrasts, small_sample)
        return mixed_differences.table(levels, pairs, values, correlation, wanted)

    def joint_test(self, term: str, small_sample: str = KENWARD_ROGER) -> JointTest | NotApplicable:
        """F test of a term ("method", "a:b"), averaged equally over the others ("type III").

        Kenward-Roger scales F. `NotApplicable` where some combination was never tried or there is
        no scatter. Raises `BadNumbers` for a term that is not there.
        """
        sample = self._sample(small_sample)
        rows = mixed_contrasts.joint_rows(self._design, term)
        if rows is None:
            return NotApplicable(msg("The formula needs an intercept and both parts of a product."))
        if not self._design.fixed.estimable(rows).all():
            return NotApplicable(msg("Some combinations were never tried: the term has no test."))
        if not rows.size:
            return NotApplicable(msg("{term} has one level: there is nothing to test.", term=term))
        if sample is None:
            return NotApplicable(msg("There is no scatter to test against."))
        if small_sample == SATTERTHWAITE and self._single_term():
            kept = mixed_contrasts.ordered_rows(self._design)
        else:
            kept = rows[:, list(self._design.fixed.kept)]
        return self._joint(term, kept, sample)

    def joint_columns(
        self, name: str, columns: Sequence[str], small_sample: str = KENWARD_ROGER
    ) -> JointTest | NotApplicable:
        """F test that the coefficients `columns` (names as in `terms`) are all 0."""
        name = one_text(name, "name", "a name for these columns together")
        there = ", ".join(self._design.fixed.names)
        places = [self._place(column, there) for column in names(columns, "columns", there)]
        if not places:
            raise BadNumbers("No coefficient is named.", where="columns", allowed=there)
        kept = [place for place in places if place is not None]
        sample = self._sample(small_sample)
        if len(kept) < len(places):
            return NotApplicable(msg("{name} follows from the rest: it has no test.", name=name))
        if sample is None:
            return NotApplicable(msg("There is no scatter to test against."))
        return self._joint(name, np.eye(len(self._design.fixed.kept))[kept], sample)

    def _place(self, column: str, there: str) -> int | None:
        if column not in self._design.fixed.names:
            raise BadNumbers(f"There is no coefficient {column!r}.", where="columns", allowed=there)
        kept = self._design.fixed.kept_names
        return kept.index(column) if column in kept else None

    def _joint(self, term: str, kept: Array, sample: SmallSample) -> JointTest | NotApplicable:
        rows = _full_rank(self._on_orthonormal(kept))
        estimates = rows @ self._beta()
        spread = rows @ sample.covariance @ rows.T * self._core.s2
        if (np.diagonal(spread) <= self._floor * (rows**2).sum(axis=1)).any():
            return NotApplicable(msg("There is no scatter to test against."))
        factor, df2 = sample.many_df(rows)
        if not (df2 > 0.0 and factor > 0.0):
            return NotApplicable(msg("The scatter is known too poorly for a joint test."))
        df1 = rows.shape[0]
        f = factor * float(estimates @ np.linalg.solve(spread, estimates)) / df1
        p = float(special.fdtrc(df1, df2, f))
        null = msg("{term} changes nothing, averaged equally over the rest.", term=term)
        return JointTest(f, df1, df2, p, term, null)

    def variance_errors(self) -> dict[str, float]:
        """Asymptotic standard error of each variance (expected information); NaN without a fit."""
        if self._core.at is None:
            return dict.fromkeys(self.variances, math.nan)
        spread = variances_covariance(self._core.data, self._core.at)
        errors = np.sqrt(np.maximum(np.diagonal(spread), 0.0)) * self._core.s2
        return dict(zip(self.variances, errors.tolist(), strict=True))

    def _single_term(self) -> bool:
        terms = [str(term) for term in self._design.spec.term_slices]
        whole = len(self._design.fixed.kept) == len(self._design.fixed.names)
        return len(terms) == 2 and terms[0] == "1" and whole

    def _estimates(self, rows: Array, small_sample: str = KENWARD_ROGER) -> Array:
        """Estimate, se and df of contrasts: rows (m, coefficients) to an array (m, 3)."""
        own = self._on_orthonormal(rows)
        sample = self._sample(small_sample)
        found = np.full((len(own), 3), np.nan)
        found[:, 0] = own @ self._beta() + 0.0
        if sample is not None:
            for place, row in enumerate(own):
                spread = float(row @ sample.covariance @ row) * self._core.s2
                if spread > self._floor * float(row @ row):
                    found[place, 1:] = math.sqrt(spread), sample.one_df(row)
        return found

    @property
    def _floor(self) -> float:
        """Below this a spread is only what is left of a residual that has vanished."""
        at = self._core.at
        vanished = at is not None and at.ratios.max(initial=0.0) >= VANISHED
        return 100.0 * self._core.s2 if vanished else 0.0

    def _on_all_columns(self, rows: Array, small_sample: str) -> Array:
        found = self._estimates(rows[:, list(self._design.fixed.kept)], small_sample)
        found[~self._design.fixed.estimable(rows)] = np.nan
        return found

    def _correlation(self, rows: Array, small_sample: str) -> Array | None:
        sample = self._sample(small_sample)
        if sample is None or not len(rows):
            return None
        own = self._on_orthonormal(rows[:, list(self._design.fixed.kept)])
        spread = own @ sample.covariance @ own.T
        scale = np.sqrt(np.maximum(np.diagonal(spread), 0.0))
        both = np.outer(scale, scale)
        return np.asarray(np.divide(spread, both, out=np.zeros_like(spread), where=both > 0.0))

    def _on_orthonormal(self, rows: Array) -> Array:
        # By substitution: columns of very different size would be mixed up by pivoting.
        triangle = self._design.fixed.triangle
        return np.asarray(linalg.solve_triangular(triangle, rows.T, trans=1).T)

    def _beta(self) -> Array:
        ordinary = self._design.fixed.orthonormal.T @ self._design.y
        return ordinary if self._core.at is None else ordinary + self._core.at.beta

    def _sample(self, name: str) -> SmallSample | None:
        check_small_sample(name)
        if self._core.at is None:
            return None
        if name not in self._samples:
            with one_thread():
                self._samples[name] = small_sample(self._core.data, self._core.at, name)
        return self._samples[name]


def fit_mixed(frame: Frame, fixed: str, random: Sequence[str] = ()) -> MixedFit:
    """Fit by restricted maximum likelihood: crossed and nested random intercepts, unbalanced.

    `frame`: pandas DataFrame or mapping of columns, one row per score. `fixed`: a formula such as
    "score ~ method * temp_c" or "score ~ C(day)"; text columns are factors, their first level (as
    text) the reference. `random`: grouping columns, "a:b" their combination. Rows with a missing
    value are left out. Small or odd data never raise: the result says in `left_out` and `notes`
    what could not be told apart. Raises `BadNumbers` (a ValueError) for columns or formulas that
    are not there. Formulas: `mixed_reml`, `mixed_small_sample`.
    """
    random = names(random, "random", GROUPING)
    design = read_design(frame, fixed, random)
    core = fit_core(design)
    terms = [design.groupings[place].name for place in core.terms]
    if core.at is None:
        scatter = 0.0 if core.data.df > 0 else math.nan
        variances = dict.fromkeys([*terms, "residual"], scatter)
    else:
        sizes = [*(core.at.ratios * core.s2).tolist(), core.s2]
        variances = dict(zip([*terms, "residual"], sizes, strict=True))
    return MixedFit(
        fixed=fixed,
        random=random,
        n=len(design.y),
        groups=ReadOnly({group.name: group.levels for group in design.groupings}),
        variances=ReadOnly(variances),
        at_zero=tuple(name for name in terms if variances[name] == 0.0),
        loglik_reml=_loglik(design, core),
        left_out=ReadOnly(core.left_out),
        notes=(*_notes(design), *core.notes),
        _design=design,
        _core=core,
    )


def check_small_sample(name: str) -> str:
    """Raises `BadNumbers` unless it is one of the two."""
    there = f"{KENWARD_ROGER}, {SATTERTHWAITE}"
    if one_text(name, "small_sample", there) not in (KENWARD_ROGER, SATTERTHWAITE):
        said = f"There is no small-sample method {shown(name)}."
        raise BadNumbers(said, where="small_sample", allowed=there)
    return name


def _full_rank(rows: Array) -> Array:
    """The rows themselves where they are independent, else a basis of what they span."""
    _, sizes, basis = np.linalg.svd(rows, full_matrices=False)
    rank = int((sizes > 1e-9 * sizes.max(initial=0.0)).sum())
    return rows if rank == len(rows) else basis[:rank]


def _loglik(design: Design, core: Core) -> float | None:
    if core.at is None:
        return None
    logs = float(np.log(np.abs(np.diagonal(design.fixed.triangle))).sum())
    constant = core.data.df * (1.0 + math.log(2.0 * math.pi * core.s2))
    return -0.5 * (core.at.log_det + 2.0 * logs + constant)


def _notes(design: Design) -> list[Message]:
    found = []
    if design.missing:
        found.append(msg_n("{count} row has a missing value and is left out.",
                           "{count} rows have a missing value and are left out.",
                           design.missing))  # fmt: skip
    if design.fixed.dropped_names:
        names = ", ".join(design.fixed.dropped_names)
        found.append(msg("Follow from the other columns and are left out: {names}.", names=names))
    return found
