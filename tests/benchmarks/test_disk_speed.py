"""What it costs to have everything on the disk at once, and to look at a large sitting."""

from __future__ import annotations

import time
from statistics import median, quantiles

from tests.notebook.kitchen_book import opened, planned
from trialbench.model.message import msg
from trialbench.model.records import Sample, Score, Sitting, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook import views
from trialbench.notebook.acts import new_record, outcomes, scores, sitting, tasters

TASTERS, SAMPLES = 20, 64


def _seconds(act) -> float:
    begun = time.perf_counter()
    act()
    return time.perf_counter() - begun


def _large_sitting(nb):
    """20 tasters, 64 samples each, 5 attributes, every second card in: sitting id, samples."""
    trial_id = planned(nb)
    for name in ("tenderness", "saltiness", "bark", "liking"):
        nb.apply(outcomes.add_attribute(nb, trial_id, name))
    nb.apply(tasters.add_tasters(nb, TASTERS))
    made = sitting.make_sitting(nb, views.cooks(nb, trial_id)[0].id)
    nb.apply(made)
    sitting_id = new_record(made, Sitting).id
    samples = [
        Sample(new_id(), sitting_id, seat.taster_id, n, f"{seat.position:02d}{n:02d}")
        for seat in views.seats(nb, sitting_id)
        for n in range(1, SAMPLES + 1)
    ]
    lines = views.attributes(nb, trial_id)
    cards = [
        Score(new_id(), sample.id, line.id, nb.now().utc, 0, 5.0, "5")
        for sample in samples[::2]
        for line in lines
    ]
    nb.apply(Step(msg("Cards entered"), added(*samples, *cards)))
    return sitting_id, samples, lines


def test_a_draft_and_a_score_are_on_the_disk_before_the_eye_moves(tmp_path, repeats, figure):
    with opened(tmp_path) as nb:
        sitting_id, samples, lines = _large_sitting(nb)
        taken = []
        for n in range(30 * repeats):
            act = scores.set_score(nb, samples[n].id, lines[0].id, str(1 + n % 9))
            taken.append(_seconds(lambda step=act: nb.apply(step)))
        figure("a score on the disk, median", 1000 * median(taken), "ms", limit=25)
        figure("a score on the disk, 95 of 100", 1000 * quantiles(taken, n=20)[-1], "ms", limit=50)
        typed = [
            _seconds(lambda text=str(n): nb.write_draft("score", text)) for n in range(30 * repeats)
        ]
        figure("a draft on the disk, median", 1000 * median(typed), "ms", limit=25)
        assert views.cards_in(nb, sitting_id).all == TASTERS * SAMPLES


def test_a_large_sitting_is_looked_at_at_once(tmp_path, repeats, figure):
    with opened(tmp_path) as nb:
        sitting_id, samples, lines = _large_sitting(nb)
        looks = []
        for n in range(repeats):
            nb.apply(scores.set_score(nb, samples[n].id, lines[0].id, str(1 + n % 9)))
            looks.append(_seconds(lambda: views.cards_in(nb, sitting_id)))
        figure("cards of 20 tasters counted after a score", 1000 * median(looks), "ms", limit=30)
        figure("a snapshot of the notebook", 1000 * _seconds(nb.snapshot), "ms", limit=30)
    figure("opening that notebook", 1000 * _seconds(lambda: opened(tmp_path).close()), "ms")
