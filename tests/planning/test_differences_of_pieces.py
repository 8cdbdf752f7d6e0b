"""Source and place of the pieces, several methods, what is varied on purpose, what is put on."""

from __future__ import annotations

from dataclasses import replace

from tests.planning.kitchen import kitchen, shoulder
from trialbench.model.message import say
from trialbench.model.records import (
    Addition,
    Factor,
    Method,
    Pair,
    Part,
    Piece,
    Stage,
    Trial,
)
from trialbench.notebook.acts import additions, stages
from trialbench.notebook.acts.places import swap_places
from trialbench.planning.difference_words import sentence
from trialbench.planning.differences import differences_of
from trialbench.planning.differences_of_pieces import differences_of_pieces
from trialbench.planning.except_words import departures
from trialbench.planning.methods_margin import margin_of_methods


def drawn(plan, **values):
    """Pieces of A and B in turn; `values` are (of A, of B) by field."""
    pieces = []
    for piece in plan.book.all(Piece):
        way = (piece.position - 1) % 2
        own = {field: both[way] for field, both in values.items()}
        pieces.append(replace(piece, method_id="mAmB"[2 * way :][:2], **own))
    return plan.with_records(*pieces)


def about(plan):
    return {found.about: found for found in differences_of_pieces(plan.book, "t")}


def test_one_method_from_one_lot_is_a_rider():
    plan = drawn(kitchen(cooks=2, pairs=0, each=2), lot=("lot 12", "lot 13"))
    found = about(plan)["lot"]
    assert say(found.sentence) == ("Every piece of A is from lot 12, and none of another method.")
    assert say(found.why) == "If B wins, the meat itself may be why."
    assert found.verb is not None and found.verb.name == "open_page"
    assert about(drawn(kitchen(cooks=2, pairs=0), lot=("lot 12", "lot 12"))) == {}


def test_pairs_of_one_animal_are_no_rider():
    plan = drawn(kitchen(cooks=2))
    assert about(plan) == {}
    apart = drawn(
        plan.without(*(p.id for p in plan.book.all(Pair))).with_records(
            *(replace(p, pair_id=None) for p in plan.book.all(Piece))
        ),
        source=("hen 1", "hen 2"),
    )
    assert set(about(apart)) == {"source"}


def test_one_method_always_on_the_upper_rack_is_a_rider_that_a_swap_removes():
    plan = drawn(kitchen(cooks=2, pairs=0), place=("the upper rack", "the lower rack"))
    found = about(plan)["place"]
    assert say(found.sentence) == "A always has the upper rack, and no other method ever."
    assert found.verb is not None
    assert say(found.verb.label) == "Swap the places on cook day 2"
    swapped = plan.after(swap_places(plan.book, *found.verb.args))
    assert about(swapped) == {}
    places = {p.place for p in swapped.book.all(Piece) if p.method_id == "mA"}
    assert places == {"the upper rack", "the lower rack"}


def test_a_single_piece_is_not_always_anywhere():
    plan = drawn(kitchen(cooks=1, pairs=0), place=("up", "down"))
    assert about(plan) == {}


def rested(letters: str, *times: float):
    plan = kitchen(methods=letters).with_records(Stage("rest", "t", 1, "rest"))
    return plan.with_records(
        *(Part(f"p{m}", "rest", f"m{m}", "duration_s", number=n)
          for m, n in zip(letters, times, strict=True))
    )  # fmt: skip


def test_a_difference_of_three_methods_is_one_sentence():
    plan = rested("ABC", 1800, 3600, 1800)
    (found,) = differences_of(plan.book, "t")
    assert say(sentence(found)) == "Rest: 30 min in A and C, 1 h in B."


def test_the_smallest_change_keeps_what_most_methods_have():
    plan = rested("ABC", 1800, 3600, 3600)
    plan = plan.after(stages.set_role(plan.book, "rest", "duration_s", "rider"))
    note = next(n for n in margin_of_methods(plan.book, "t").notes if "rider" in say(n.label))
    assert say(note.verbs[0].label) == "Rest all for 1 h"
    joined = plan.after(stages.join_line(plan.book, *note.verbs[0].args))
    assert joined.book.get(Stage, "rest").duration_s == 3600


def test_each_method_names_its_own_question():
    plan = rested("ABC", 1800, 3600, 1800).with_records(
        Part("ca", "rest", "mA", "cover", text="uncovered"),
        Part("cb", "rest", "mB", "cover", text="uncovered"),
        Part("cc", "rest", "mC", "cover", text="wrapped in foil"),
    )
    found = {d.field: d.suggested for d in differences_of(plan.book, "t")}
    assert found == {"duration_s": "question", "cover": "question"}
    assert say(margin_of_methods(plan.book, "t").standing) == (
        "Two lines differ. Are they what you ask?"
    )


def test_what_is_varied_is_the_question_and_everything_else_a_rider():
    plan = kitchen(methods="ABCD").changed(Trial, "t", shape="crossed", question="which_setting")
    plan = plan.with_records(
        Stage("boil", "t", 1, "simmer", duration_s=14400),
        Factor("f1", "t", 1, "medium", False, "boil", "medium"),
        Factor("f2", "t", 2, "temperature", True, "boil", "set_temp_c"),
        *(Part(f"m{m}", "boil", f"m{m}", "medium", text=w)
          for m, w in zip("ABCD", ("stock", "stock", "water", "water"), strict=True)),
        *(Part(f"t{m}", "boil", f"m{m}", "set_temp_c", number=n)
          for m, n in zip("ABCD", (77, 88, 77, 88), strict=True)),
        *(Part(f"l{m}", "boil", f"m{m}", "cover", text=w)
          for m, w in zip("ABCD", ("lid on", "lid on", "lid on", "uncovered"), strict=True)),
    )  # fmt: skip
    found = {d.field: (d.role, d.asked) for d in differences_of(plan.book, "t")}
    assert found == {
        "medium": ("question", True),
        "set_temp_c": ("question", True),
        "cover": ("", False),
    }
    assert say(margin_of_methods(plan.book, "t").standing) == (
        "Three lines differ. Two are the questions; one came with them."
    )


def test_what_goes_on_counts_as_a_line():
    plan = shoulder().with_records(
        Addition("wa", "roast", 1, "wood", "oak", "mA", mass_g=300),
    )
    found = next(d for d in differences_of(plan.book, "t") if d.field == "addition 1")
    note = next(n for n in margin_of_methods(plan.book, "t").notes if n.line == found.line)
    assert [say(note.label), *map(say, note.sentences), *(say(v.label) for v in note.verbs)] == [
        "2 Roast, wood: differs, not asked for",
        "Only A has it: oak, 300 g.",
        "If B wins, the wood in the roast may be why.",
        "Roast both with oak, 300 g",
        "Keep the difference, as a rider",
    ]
    equal = plan.after(stages.join_line(plan.book, *note.verbs[0].args))
    assert not any(d.addition for d in differences_of(equal.book, "t"))
    assert [a.method_id for a in equal.book.all(Addition)] == [None]
    parted = equal.after(additions.part_addition(equal.book, "roast", 1))
    assert not any(d.addition for d in differences_of(parted.book, "t"))


def test_b_is_the_same_as_a_except():
    ((method, words),) = departures(shoulder().book, "t")
    assert isinstance(method, Method) and method.letter == "B"
    assert [say(each) for _, each in words] == [
        "Rest for 20 min",
        "Hold in its own juices",
        "covered lid on",
    ]


def test_unlike_holds_of_their_own_are_said():
    plan = kitchen().with_records(
        Stage("ha", "t", 1, "hold", method_id="mA", set_temp_c=65, duration_s=28800),
        Stage("hb", "t", 2, "hold", method_id="mB", set_temp_c=60, duration_s=21600),
    )
    note = next(n for n in margin_of_methods(plan.book, "t").notes if "Held" in say(n.label))
    assert say(note.sentences[0]) == "8 h at 65 °C in A, 6 h at 60 °C in B."


def test_serving_asks_how_warm_and_then_says_no_more():
    plan = shoulder().with_records(Stage("serve", "t", 6, "serve", slice_mm=6))
    missing = [n for n in margin_of_methods(plan.book, "t").notes if "how warm" in say(n.label)]
    assert [n.line for n in missing] == ["stage:serve:set_temp_c"]
    served = plan.changed(Stage, "serve", set_temp_c=58)
    assert not any("how warm" in say(n.label) for n in margin_of_methods(served.book, "t").notes)


def test_salt_in_all_counts_the_share_of_a_rub():
    plan = shoulder().with_records(
        Addition("r", "salt", 1, "rub", "paprika", None, g_per_kg=20, salt_percent=12),
        Addition("b", "salt", 2, "brine", "brine", None, g_per_kg=500, salt_percent=6),
    )
    note = next(n for n in margin_of_methods(plan.book, "t").notes if "in all" in say(n.label))
    assert note.line == "stage:salt"
    assert [say(s) for s in note.sentences] == [
        "17.4 g for each kilogram, 2.4 g of it in what goes on."
    ]
    assert not any(
        "Salt in all" in say(n.label) for n in margin_of_methods(shoulder().book, "t").notes
    )
