"""What a word of the question asks for."""

import pytest

from trialbench.notebook.acts.attribute_words import asked_by_word


@pytest.mark.parametrize(
    ("word", "name", "less"),
    [
        ("softer inside", "soft inside", "less soft inside"),
        ("hotter at the bone", "hot at the bone", "less hot at the bone"),
        ("sandier", "sandiness", "less sandy"),
        ("butter taste", "butter taste", "less butter taste"),
    ],
)
def test_a_comparison_stands_in_the_sentence_as_it_was_typed(word, name, less):
    asked = asked_by_word(word)
    assert (asked.attribute.name, asked.attribute.less_word) == (name, less)
    more = word if word != "butter taste" else "more butter taste"
    assert (asked.attribute.more_word, asked.better) == (more, "more")
