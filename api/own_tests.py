"""A coach's own scored tests: who sees which, made once, changed by a new version.

A test made by a coach's key is that coach's; one made at the book's own machine is the whole
book's. A version never changes: scores stay what they were scored by. Two coaches may each have a
test of one name.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from analytics.errors import BadQuestion, NoSuchTest
from analytics.scored_rules import (
    built_in_rules,
    check_rules,
    document_of,
    find_rules,
    kept_rules,
)
from analytics.scored_test import Rules
from api.access import Caller
from api.errors import Problem
from api.player_cards import PlayerCards
from ingest.errors import RulesTaken
from ingest.own_tests import keep_rules

Known = dict[str, Rules]
Coaches = frozenset[str] | None
"""Whose own tests are seen; None: every coach's."""


@dataclass(frozen=True)
class ListedTest:
    """A version of a test and whose it is; empty for one that comes along or is the book's."""

    rules: Rules
    coach: str


def coaches_seen(caller: Caller, players: PlayerCards) -> Coaches:
    """Coaches whose own tests a caller sees: a key limited to names, those of its players."""
    if caller.coach:
        return frozenset({caller.coach})
    if caller.players is None:
        return None
    cards = (players.get(name) for name in caller.players)
    return frozenset(card.coach for card in cards if card is not None and caller.sees(card))


def may_make(caller: Caller) -> None:
    """Raises Problem 403 for a key limited to named players: a test is for all of a coach's."""
    if caller.players is not None:
        mend = "Ask the coach to make the test, or for a key without names."
        raise Problem(403, "limited_to_names", "This key is limited to named players.", mend)


def every_version(store: Path, coaches: Coaches) -> list[ListedTest]:
    """Every version of every test seen, by name, then whose it is, then version."""
    found = [ListedTest(rules, "") for rules in built_in_rules().values()]
    found += [
        ListedTest(rules, coach)
        for coach, rules in kept_rules(store)
        if coaches is None or coach in ("", *coaches)
    ]
    return sorted(found, key=lambda one: (one.rules.name, one.coach, one.rules.version))


def newest_versions(listed: list[ListedTest]) -> list[ListedTest]:
    """The newest version of each test of each coach."""
    return list({(one.rules.name, one.coach): one for one in listed}.values())


def seen_tests(store: Path, coaches: Coaches) -> Known:
    """The tests seen, by name@version; where coaches share one, the first coach's by name."""
    return {one.rules.key: one.rules for one in reversed(every_version(store, coaches))}


def meant_test(store: Path, text: str, coaches: Coaches, coach: str | None) -> ListedTest:
    """The test a reader means by name or name@version.

    Coaches may share a name: the one of `coach` is meant where it is said; else the reader's own
    coach's, then one of the whole book, then the first coach's.

    Raises:
        NoSuchTest: nobody seen has it.
    """
    listed = every_version(store, coaches)
    if coach is not None:
        listed = [one for one in listed if one.coach == coach]
    own = next(iter(coaches)) if coaches is not None and len(coaches) == 1 else ""
    whose = sorted({one.coach for one in listed}, key=lambda one: (one != own, one))
    for whom in whose:
        theirs = {one.rules.key: one.rules for one in listed if one.coach == whom}
        with suppress(NoSuchTest):
            return ListedTest(find_rules(text, theirs), whom)
    raise _no_test(text, listed)


def _no_test(text: str, listed: list[ListedTest]) -> NoSuchTest:
    names = sorted({one.rules.key for one in listed})
    return NoSuchTest(f"There is no test {text!r}.", f"use one of {', '.join(names)}")


def _only(coach: str) -> Coaches:
    return frozenset({coach}) if coach else None


def newest_of_each(known: Known) -> Known:
    """The newest version of each test, by name."""
    return {rules.name: rules for rules in sorted(known.values(), key=lambda one: one.version)}


def is_own(rules: Rules) -> bool:
    """Whether a coach made the test."""
    return rules.name not in {one.name for one in built_in_rules().values()}


def make_test(store: Path, coach: str, wanted: Rules) -> Rules:
    """Keep the first version of a test; the very same rules again change nothing.

    Raises:
        RulesTaken: there is a test of this name.
        BadQuestion: rules that nobody could be scored by.
    """
    known = newest_of_each(seen_tests(store, _only(coach))).get(wanted.name)
    if known is not None and replace(known, version=1) != replace(wanted, version=1):
        raise RulesTaken(
            f"There is a test {wanted.name} already, in version {known.version}.",
            "give the new one another name, or make a new version of that test.",
        )
    return known or _keep(store, coach, replace(wanted, version=1))


def make_version(store: Path, coach: str, wanted: Rules) -> Rules:
    """Keep the next version of a test; rules equal to the newest version's change nothing.

    Raises:
        NoSuchTest: no test of this name.
        RulesTaken: the test is not the coach's to change, or it is not told which coach's is meant.
        BadQuestion: rules that nobody could be scored by.
    """
    known = find_rules(wanted.name, seen_tests(store, _only(coach)))
    whose = sorted({one for one, rules in kept_rules(store) if rules.name == known.name})
    if not coach and len(whose) > 1:
        raise RulesTaken(
            f"Several coaches have a test {known.name}.",
            "make the new version with the key of the coach whose test it is.",
        )
    if coach not in ("", *whose) or not whose:
        raise RulesTaken(
            f"The test {known.name} is not yours to change.",
            "make a test of your own under another name.",
        )
    if replace(known, version=1) == replace(wanted, version=1):
        return known
    return _keep(store, coach or whose[0], replace(wanted, version=known.version + 1))


def _keep(store: Path, coach: str, rules: Rules) -> Rules:
    check_rules(rules)
    keep_rules(store, rules.key, coach, document_of(rules))
    return rules


Maker = Callable[[Path, str, Rules], Rules]


def name_from(title: str) -> str:
    """A name made of a title: small letters, digits and underlines. Raises: BadQuestion."""
    plain = title.casefold().replace("ä", "ae").replace("ö", "oe").replace("ü", "ue")
    letters = "".join(one if one.isascii() and one.isalnum() else " " for one in plain)
    name = "_".join(letters.split())[:40].strip("_")
    if len(name) < 2 or not name[0].isalpha():
        raise BadQuestion(
            f"No name can be made of the title {title!r}.",
            "begin it with a letter, for example Pitch Ladder.",
        )
    return name
