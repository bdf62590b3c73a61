"""Triples among rehearsals: in order, missing, repeated, reversed, of unknown intent."""

from hypothesis import given
from hypothesis import strategies as st

from analytics.bracket_triples import Rehearsal, recognise


def rehearsals(intents: str, shot: str = "a", start: int = 0) -> list[Rehearsal]:
    words = {"L": "rehearse_long", "S": "rehearse_short", "?": "rehearse"}
    return [
        Rehearsal(shot, f"{shot}{start + i}", start + i, words[letter], 0.9 - 0.01 * i)
        for i, letter in enumerate(intents)
    ]


def only(intents: str):
    (triple,) = recognise(rehearsals(intents))
    return triple.long, triple.short, triple.notes


def test_the_drill_in_order():
    assert only("LS") == ("a0", "a1", ())


def test_reversed():
    assert only("SL") == ("a1", "a0", ("reversed",))


def test_repeated_takes_the_last_of_each():
    assert only("LLS") == ("a1", "a2", ("repeated",))
    assert only("LSLS") == ("a2", "a3", ("repeated",))


def test_missing_sides():
    assert only("L") == ("a0", None, ("missing_short",))
    assert only("SS") == (None, "a1", ("repeated", "missing_long"))


def test_two_of_unknown_intent_are_taken_in_the_order_of_the_drill():
    assert only("??") == ("a0", "a1", ("assumed",))
    assert only("???") == ("a1", "a2", ("assumed",))
    assert only("?") == (None, None, ("missing_long", "missing_short"))


def test_probability_is_that_of_the_weaker_side():
    (triple,) = recognise(rehearsals("LS"))
    assert triple.probability == 0.89


def test_shots_come_in_the_order_of_their_swings():
    rows = rehearsals("LS", "z", 0) + rehearsals("LS", "a", 5)
    assert [triple.shot for triple in recognise(rows)] == ["z", "a"]


@given(
    st.permutations(rehearsals("LS", "x", 0) + rehearsals("SLL", "y", 4) + rehearsals("??", "z", 9))
)
def test_row_order_does_not_matter(rows):
    assert recognise(rows) == recognise(sorted(rows, key=lambda r: r.order))
