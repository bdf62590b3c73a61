"""A coach's own scored tests: who sees which, made once, changed by a new version.

A test made by a coach's key is that coach's; one made at the book's own machine is the whole
book's. A version never changes: scores stay what they were scored by.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from analytics.errors import BadQuestion
from analytics.scored_rules import (
    built_in_rules,
    check_rules,
    document_of,
    find_rules,
    kept_rules,
    known_rules,
)
from analytics.scored_test import Rules
from ingest.errors import RulesTaken
from ingest.own_tests import keep_rules

Known = dict[str, Rules]


def seen_tests(store: Path, coach: str) -> Known:
    """The tests a coach sees, by name@version; an empty coach sees every one of the book."""
    if coach:
        return known_rules(store, coach)
    return built_in_rules() | {rules.key: rules for _, rules in kept_rules(store)}


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
    known = newest_of_each(seen_tests(store, coach)).get(wanted.name)
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
        RulesTaken: the test is not the coach's to change.
        BadQuestion: rules that nobody could be scored by.
    """
    known = find_rules(wanted.name, seen_tests(store, coach))
    whose = [one for one, rules in kept_rules(store) if rules.key == known.key]
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
