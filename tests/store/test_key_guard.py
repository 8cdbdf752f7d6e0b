"""The sealed key: what a passphrase keeps shut, and what a curtain does not."""

from dataclasses import replace

import pytest

from trialbench.model.errors import Refused
from trialbench.store.key_guard import CURTAIN, seal, unseal

KEY = b'{"lot_number":7}'


def test_a_curtain_gives_the_key_back():
    sealed = seal("s1", KEY)
    assert sealed.guard == CURTAIN
    assert unseal(sealed) == KEY


def test_a_passphrase_hides_the_key_and_gives_it_back():
    sealed = seal("s1", KEY, "blue kettle")
    assert KEY not in sealed.body
    assert unseal(sealed, "blue kettle") == KEY


def test_the_same_words_typed_on_another_machine_open_it():
    sealed = seal("s1", KEY, "caf\u00e9 au lait")
    assert unseal(sealed, "cafe\u0301 au lait") == KEY


@pytest.mark.parametrize("wrong", ["blue kettles", "", None])
def test_another_passphrase_is_refused(wrong):
    with pytest.raises(Refused, match=r"passphrase") as error:
        unseal(seal("s1", KEY, "blue kettle"), wrong)
    assert error.value.allowed and error.value.way_out


def test_a_key_does_not_open_for_another_sitting():
    sealed = replace(seal("s1", KEY, "blue kettle"), sitting_id="s2")
    with pytest.raises(Refused):
        unseal(sealed, "blue kettle")


def test_two_seals_of_one_key_differ():
    first, second = seal("s1", KEY, "blue kettle"), seal("s1", KEY, "blue kettle")
    assert first.body != second.body and first.salt != second.salt


def test_an_empty_passphrase_is_no_guard():
    with pytest.raises(Refused, match="guards nothing"):
        seal("s1", KEY, "  ")
