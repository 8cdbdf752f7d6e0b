"""From a blank Question to a drawn and sealed plan: one recipe twice, and two things crossed."""

import pytest

from tests.journeys.at_the_desk import begun, choose, desk, draw_now, focused, pressed, show, write
from tests.journeys.at_work import ENTER, Worker
from trialbench.findings.of_trial import reckon
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import plan
from trialbench.notebook.views import shapes

# As of example e: liking of two labels of one recipe, four days, two tasters (invented).
SCORES = {
    1: {"A": (6, 7), "B": (7, 6)},
    2: {"A": (5, 6), "B": (6, 6)},
    3: {"A": (7, 7), "B": (6, 7)},
    4: {"A": (6, 5), "B": (6, 6)},
}


@pytest.fixture
def worker(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        show(qtbot, window, "question", begun(window.desk.notebook))
        yield Worker(qtbot, window)


def _states(worker: Worker) -> dict[str, str]:
    return {s.page: s.stitch for s in views.page_states(worker.notebook, worker.trial_id)}


def test_one_recipe_twice_from_nothing_to_what_no_difference_looks_like(worker, qtbot):
    page = worker.window.page()
    write(qtbot, "smoked chicken thighs")
    write(qtbot, "smoked by the one recipe")
    pressed(qtbot, page.rows["kind"].row, "how noisy is my kitchen")
    page.sentence.blanks["came_out"].setFocus()
    write(qtbot, "better liked", ENTER)
    assert _states(worker)["question"] == "complete"
    assert page.leaf.head.verbs()["methods"].is_due()
    worker.stage("smoke")
    worker.stage("rest")
    assert _states(worker)["methods"] == "complete"
    worker.plan(4, 1, 2)
    worker.weigh(lambda point, letter, day: {"raw": "1100", "served": "800"}.get(point, ""))
    worker.taste(2, lambda letter, day, taster: str(SCORES[day][letter][taster]))
    worker.open_keys()
    finding = reckon(worker.notebook, worker.trial_id).deciding
    assert (finding.case, finding.favours) == ("same_recipe", None)
    page = worker.turn_to(6)
    qtbot.waitUntil(page.headline.isVisible, timeout=20_000)
    assert "better liked than" not in page.headline.words()


def test_what_one_recipe_twice_showed_stands_beside_the_next_question(worker, qtbot):
    test_one_recipe_twice_from_nothing_to_what_no_difference_looks_like(worker, qtbot)
    show(qtbot, worker.window, "question", begun(worker.notebook))
    page = worker.window.page()
    for text in ("chicken thighs", "smoked", "roasted", "better liked"):
        write(qtbot, text)

    def noise() -> str:
        notes = [n for n in page.margin().notes if n.line == "matters"]
        return " ".join(say(sentence) for note in notes for sentence in note.sentences)

    qtbot.waitUntil(lambda: "One recipe cooked twice (trial 1)" in noise(), timeout=20_000)
    assert "apart in liking" in noise() and "another scale" not in noise()
    choose(qtbot, page.rows["decides"]._choices["what"], "loss")
    assert "on another scale (1 to 9)" in noise()


def _ask_which_setting(worker: Worker, qtbot) -> None:
    page = worker.window.page()
    write(qtbot, "octopus arms")
    write(qtbot, "four hours in stock at 77 °C")
    pressed(qtbot, page.rows["kind"].row, "which setting")
    page.sentence.factors.lines[0].name.setFocus()
    for text in ("medium", "stock", "sealed bag in water"):
        write(qtbot, text)
    pressed(qtbot, page.rows["settings"].row, "cross it with a second thing")
    qtbot.waitUntil(lambda: focused() is page.sentence.factors.lines[1].name)
    for text in ("temperature", "77 °C", "88"):
        write(qtbot, text)
    page.sentence.blanks["came_out"].setFocus()
    write(qtbot, "more tender")
    write(qtbot, "1 point in 10", ENTER)
    medium, temperature = page.rows["settings"].choices
    choose(qtbot, medium["stage"], "simmer")
    stage = views.stages(worker.notebook, worker.trial_id)[0]
    _, temperature = page.rows["settings"].choices
    choose(qtbot, temperature["stage"], stage.id)
    assert page.leaf.head.verbs()["methods"].is_due()


def _plan_shared_pots(worker: Worker, qtbot):
    page = worker.turn_to(3)
    sentence = page.figures.sentence
    for field, typed in (("planned_tasters", "6"), ("pieces_each", "2"), ("planned_cooks", "5")):
        sentence.blanks[field].setFocus()
        sentence.blanks[field].selectAll()
        write(qtbot, typed, ENTER)
    choose(qtbot, sentence.loads, "shared")
    return page


def test_two_things_crossed_with_shared_pots_from_nothing_to_the_seal(worker, qtbot):
    _ask_which_setting(worker, qtbot)
    book, trial_id = worker.notebook, worker.trial_id
    assert [m.name for m in views.methods(book, trial_id)] == [
        "stock, 77 °C",
        "stock, 88 °C",
        "sealed bag in water, 77 °C",
        "sealed bag in water, 88 °C",
    ]
    worker.stage("rest")
    simmer = views.stages(book, trial_id)[0]
    held = [views.resolved_stage(book, simmer, m.id) for m in views.methods(book, trial_id)]
    assert [(s.medium, s.set_temp_c) for s in held] == [
        ("stock", 77.0), ("stock", 88.0),
        ("sealed bag in water", 77.0), ("sealed bag in water", 88.0),
    ]  # fmt: skip
    assert _states(worker)["methods"] == "complete"
    page = _plan_shared_pots(worker, qtbot)
    assert len(views.all_pieces(book, trial_id)) == 40
    draw_now(qtbot, page)
    for cook in views.cooks(book, trial_id):
        pots = [views.pieces_of_load(book, load.id) for load in views.loads(book, cook.id)]
        assert sorted(len(pot) for pot in pots) == [2, 2, 2, 2]
        assert all(len({piece.method_id for piece in pot}) == 1 for pot in pots)
    worker.press("seal")
    pressed(qtbot, page.seal.asks, "Seal it now")
    assert views.seal(book, trial_id) is not None
    page = worker.turn_to(1)
    assert all(b.isReadOnly() for b in page.sentence.factors.blanks())
    assert shapes.factors(book, trial_id)[1].ordered


def test_a_setting_more_lays_the_plan_out_anew_until_lots_are_drawn(worker, qtbot):
    _ask_which_setting(worker, qtbot)
    book, trial_id = worker.notebook, worker.trial_id
    page = _plan_shared_pots(worker, qtbot)
    question = worker.turn_to(1)
    question.sentence.factors.lines[1].places[2].setFocus()
    write(qtbot, "95", ENTER)
    assert len(views.methods(book, trial_id)) == 6
    assert len(views.all_pieces(book, trial_id)) == 60
    book.apply(plan.set_plan(book, trial_id, "planned_cooks", "2"))
    page = worker.turn_to(3)
    draw_now(qtbot, page)
    question = worker.turn_to(1)
    third = question.sentence.factors.lines[1].places[2]
    third.setFocus()
    third.selectAll()
    write(qtbot, " ", ENTER)
    assert third.is_refused() and "Lots are drawn" in third.below().words()
    assert book.get(Trial, trial_id).shape == "crossed"


def test_a_stage_of_the_methods_page_takes_what_is_varied(worker, qtbot):
    page = worker.window.page()
    write(qtbot, "brisket")
    write(qtbot, "held dry in the cabinet")
    pressed(qtbot, page.rows["kind"].row, "which setting")
    page.sentence.factors.lines[0].name.setFocus()
    for text in ("hold temperature", "60 °C", "65", "70"):
        write(qtbot, text)
    page, stage, block = worker.stage("hold")
    note = next(n for n in page.margin().notes if "in no line yet" in say(n.label))
    page.leaf.verb.emit(note.verbs[0])
    book = worker.notebook
    assert [part.number for part in views.parts(book, stage.id, "set_temp_c")] == [60.0, 65.0, 70.0]
    b = views.methods(book, worker.trial_id)[1]
    block._parts["set_temp_c"].values[b.id].setFocus()
    focused().selectAll()
    write(qtbot, "66", ENTER)
    assert views.methods(book, worker.trial_id)[1].name == "66 °C"
    assert _states(worker)["methods"] == "complete"
