"""The question of a trial in one line, and its title: what contents, spine and notes say."""

from __future__ import annotations

from trialbench.model.message import Message, msg
from trialbench.model.records import Trial


def title(trial: Trial) -> Message | str:
    """The trial by name: "Pork shoulder: held dry or in its juices"."""
    food = _capital(trial.food)
    if trial.question == "same_recipe" and food:
        return msg("{food}: one recipe twice", food=food)
    if trial.question == "which_setting" and food and trial.idea:
        return msg("{food}: which {varied}", food=food, varied=trial.idea)
    if food and trial.usual and trial.idea and trial.shape == "several":
        return msg(
            "{food}: {usual}, {idea} or another way",
            food=food, usual=trial.usual, idea=trial.idea,
        )  # fmt: skip
    if food and trial.usual and trial.idea:
        return msg("{food}: {usual} or {idea}", food=food, usual=trial.usual, idea=trial.idea)
    if food and (trial.usual or trial.idea):
        return msg("{food}: {way}", food=food, way=trial.usual or trial.idea)
    return food or msg("A new question")


def question_line(trial: Trial) -> Message | str:
    """The question as far as it is written: "Turkey breast: juicier roasted in a slow oven?"."""
    food, idea, word = _capital(trial.food), trial.idea, trial.came_out
    if not food:
        return msg("A new question")
    if trial.question == "same_recipe":
        return msg("{food}: one recipe twice", food=food)
    if not (idea and word):
        return title(trial)
    if trial.question == "which_setting":
        return msg("{food}: which {varied} is {word}?", food=food, varied=idea, word=word)
    if trial.shape == "several":
        return msg("{food}: {word} {idea}, or another way?", food=food, word=word, idea=idea)
    if trial.question == "at_least_as_good":
        return msg("{food}: at least as good {idea}?", food=food, idea=idea)
    return msg("{food}: {word} {idea}?", food=food, word=word, idea=idea)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
