"""The example trials: complete, invented and saying so, the same bytes at every building."""

from __future__ import annotations

from statistics import fmean

import pytest

from tests.examples import octopus, thighs, turkey
from tests.examples.__main__ import TRIALS, write_all
from tests.examples.search import WANTED, search
from trialbench import paths
from trialbench.exchange.opened import open_package
from trialbench.findings.of_trial import reckon_trial
from trialbench.findings.wording_several import headline
from trialbench.model.message import say
from trialbench.model.records import (
    Decision,
    LeftOut,
    Method,
    Outcome,
    Piece,
    Sample,
    Score,
    Seal,
    Sitting,
    Taster,
)
from trialbench.notebook import views
from trialbench.planning.key import fingerprint

FOLDER = paths.example_trials()
BY_SLUG = {example.SLUG: example for example in TRIALS}


@pytest.fixture(scope="module")
def packages():
    return {slug: open_package(FOLDER / slug) for slug in BY_SLUG}


def test_building_again_gives_the_same_bytes(tmp_path):
    write_all(tmp_path)
    built = {p.relative_to(tmp_path): p.read_bytes() for p in tmp_path.rglob("*.*")}
    there = {p.relative_to(FOLDER): p.read_bytes() for p in FOLDER.rglob("*.*")}
    assert built == there


@pytest.mark.parametrize("slug", BY_SLUG)
def test_every_example_is_a_whole_trial(packages, slug):
    package = packages[slug]
    trial = package.trial
    assert trial.invented
    assert trial.remark.startswith("All of it is invented.")
    assert f"lot number {BY_SLUG[slug].LOT_NUMBER};" in trial.remark
    assert "chosen to show the case" in trial.remark
    assert package.of(Seal) and package.of(Decision)
    assert {s.key_state for s in package.of(Sitting)} == {"open"}
    assert all(piece.method_id for piece in package.of(Piece))
    assert len(package.of(Sitting)) == trial.planned_cooks
    assert all(taster.alias == f"Taster {taster.position}" for taster in package.of(Taster))


@pytest.mark.parametrize("slug", BY_SLUG)
def test_every_piece_was_weighed_at_every_checkpoint(packages, slug):
    package = packages[slug]
    named = [c.id for c in views.checkpoints(package, package.trial.id)]
    for piece in package.of(Piece):
        masses = [views.mass_g(package, piece.id, checkpoint) for checkpoint in named]
        assert None not in masses
        if slug.startswith("white-beans"):
            assert masses[0] < masses[1]
        else:
            assert masses == sorted(masses, reverse=True)


@pytest.mark.parametrize("slug", BY_SLUG)
def test_mean_weights_are_the_stated_ones(packages, slug):
    package, example = packages[slug], BY_SLUG[slug]
    letters = {m.id: m.letter for m in package.of(Method)}
    for weighing in example.WEIGHTS:
        checkpoint = next(
            c for c in views.checkpoints(package, package.trial.id) if c.name == weighing.checkpoint
        )
        for letter, mean in weighing.means.items():
            masses = [
                views.mass_g(package, piece.id, checkpoint.id)
                for piece in package.of(Piece)
                if letters[piece.method_id] == letter
            ]
            assert fmean(masses) == pytest.approx(mean, abs=0.5 / len(masses) + 1e-9)


def _means(package, name):
    found = dict(reckon_trial(package).rows())[name]
    return found.mean_a, found.mean_b


@pytest.mark.parametrize(
    ("slug", "name", "shown"),
    [
        ("turkey-breast-slow-or-hot-oven", "crisp skin", "7.1 3.9"),
        ("pork-ribs-bare-or-in-paper", "bark", "7.0 4.4"),
        ("pork-ribs-bare-or-in-paper", "tenderness", "6.0 6.9"),
        ("turkey-breast-slow-or-hot-oven", "loss of raw weight, until rested", "31.1 23.0"),
        ("white-beans-overnight-or-hot-soak", "weight when drained", "218.0 215.0"),
        ("pork-ribs-bare-or-in-paper", "loss of trimmed weight, until smoked", "31.0 27.0"),
    ],
)
def test_the_stated_figures_come_out(packages, slug, name, shown):
    means = _means(packages[slug], name)
    assert " ".join(f"{mean:.1f}" for mean in means) == shown


@pytest.mark.parametrize("slug", [turkey.SLUG, thighs.SLUG, octopus.SLUG])
def test_the_lot_number_is_the_first_that_shows_the_case(slug):
    example = BY_SLUG[slug]
    assert search(example, example.LOT_NUMBER) == example.LOT_NUMBER


def test_every_example_has_its_case_asked_for():
    assert set(WANTED) == set(TRIALS)


def test_scores_lie_on_their_scale(packages):
    for package in packages.values():
        outcomes = {o.id: o for o in package.of(Outcome)}
        for score in package.of(Score):
            outcome = outcomes[score.outcome_id]
            steps = (score.number - outcome.low) / outcome.step
            assert steps == pytest.approx(round(steps), abs=1e-9)
            assert outcome.low <= score.number <= outcome.high


def test_codes_differ_and_the_warm_up_has_no_score(packages):
    for package in packages.values():
        warm_ups = {s.id for s in package.of(Sample) if s.position == 0}
        assert warm_ups and not warm_ups & {s.sample_id for s in package.of(Score)}
        for sitting in package.of(Sitting):
            codes = [s.code for s in package.all(Sample, sitting_id=sitting.id)]
            assert len(set(codes)) == len(codes)
            assert len(sitting.key_fingerprint) == len(fingerprint(b""))


def test_the_short_tray_is_left_out_after_opening(packages):
    package = packages["chicken-thighs-one-recipe-twice"]
    (left_out,) = package.of(LeftOut)
    assert left_out.after_opening and "6 g of salt short" in left_out.reason
    assert package.get(Piece, left_out.subject_id).label == "T10"


def test_heat_helps_in_stock_and_not_that_one_could_tell_in_the_bag(packages):
    found = reckon_trial(packages[octopus.SLUG])
    several = found.several
    (both,) = several.of_role("interaction")
    assert both.told and several.lead == "simple"
    heat = [c for c in several.leading if c.contrast.factor == 1]
    stock, bag = (c.finding for c in heat)
    assert stock.case == "better_enough" and bag.case == "not_settled"
    assert (stock.comparison.df, several.unit, several.counts.units) == (4, "load", 20)
    said = say(headline(several, found.names_of("tenderness")))
    assert said.startswith("In stock, 11 °C more make it more tender by 2.3 points")
    assert said.endswith("in a sealed bag no difference was told apart.")


def test_the_losses_of_the_octopus_are_the_stated_ones(packages):
    others = reckon_trial(packages[octopus.SLUG]).several.others
    other = next(o for o in others if "loss" in o.outcome)
    shown = {each.letter: each.mean for each in other.means}
    assert shown == pytest.approx(octopus.LOSS, abs=0.15)
