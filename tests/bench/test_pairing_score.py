"""Shares of the pairing measure are exact at the limit of an aim."""

from tests.bench.pairing_measure import Score


def test_two_of_two_hundred_are_one_in_a_hundred():
    assert Score("some refused", sessions=200, accepted=198).refused <= 0.01
    assert Score("some accepted", sessions=200, accepted=2).accepted_share <= 0.01
