"""Reads the rules of scored tests: those that come along, and a coach's own from a folder."""

import tomllib
from importlib import resources
from pathlib import Path
from typing import Any, get_args

from analytics.errors import BadQuestion
from analytics.hole import FOOT_M
from analytics.scored_test import Award, AwardKind, Measure, Rules, Station

Parsed = dict[str, Any]  # parsed TOML of open shape

SHAPE = "compare it with a file in analytics/rules"


def built_in_rules() -> dict[str, Rules]:
    """The tests that come along, by name@version."""
    folder = resources.files("analytics.rules")
    texts = [entry.read_text("utf-8") for entry in folder.iterdir() if entry.name.endswith(".toml")]
    return {rules.key: rules for rules in map(parse_rules, sorted(texts))}


def built_in_names() -> tuple[str, ...]:
    """What the tests that come along can be asked for by: each name, and each name@version."""
    known = built_in_rules()
    return tuple(sorted({rules.name for rules in known.values()} | set(known)))


def all_rules(own_folder: Path | None = None) -> dict[str, Rules]:
    """The tests that come along and the coach's own; an own file may not take a built-in's name.

    Raises: BadQuestion for an own file that is no set of rules.
    """
    found = built_in_rules()
    own = sorted(own_folder.glob("*.toml")) if own_folder and own_folder.is_dir() else []
    for path in own:
        rules = parse_rules(path.read_text("utf-8"))
        if rules.key in found:
            raise BadQuestion(
                f"{path.name}: {rules.key} is already taken.", "give it another name or version"
            )
        found[rules.key] = rules
    return found


def find_rules(text: str, known: dict[str, Rules]) -> Rules:
    """The test meant by name@version, by name (newest version), or by title.

    Raises: BadQuestion listing what there is.
    """
    wanted = text.strip().lower().replace("-", "_").replace(" ", "_")
    hits = [
        rules
        for key, rules in known.items()
        if wanted in (key, rules.name, rules.title.lower().replace("-", "_").replace(" ", "_"))
    ]
    if not hits:
        raise BadQuestion(f"There is no test {text!r}.", f"use one of {', '.join(sorted(known))}")
    return max(hits, key=lambda rules: rules.version)


def parse_rules(text: str) -> Rules:
    """Rules from the text of a TOML file. Raises: BadQuestion naming what is missing or wrong."""
    try:
        parsed: Parsed = tomllib.loads(text)
        rules = _rules(parsed)
    except tomllib.TOMLDecodeError as error:
        raise BadQuestion(f"The rules are no TOML: {error}.", SHAPE) from error
    except KeyError as error:
        raise BadQuestion(f"The rules lack the field {error.args[0]!r}.", SHAPE) from error
    except (TypeError, AttributeError) as error:
        raise BadQuestion(f"The rules have a field of the wrong kind: {error}.", SHAPE) from error
    _check(rules)
    return rules


def _rules(parsed: Parsed) -> Rules:
    hit_ft = parsed.get("hit", {}).get("within_ft")
    return Rules(
        name=parsed["name"],
        version=parsed["version"],
        title=parsed["title"],
        measure=parsed["measure"],
        target=parsed["target"],
        total_sd=parsed["total_sd"],
        order=parsed["order"],
        draw=parsed["draw"],
        stations=_stations(parsed["station"]),
        awards=tuple(_award(entry) for entry in parsed.get("award", [])),
        hit_within_m=None if hit_ft is None else hit_ft * FOOT_M,
    )


def _stations(entries: list[Parsed]) -> tuple[Station, ...]:
    repeated = [entry for entry in entries for _ in range(entry.get("repeat", 1))]
    return tuple(_station(number, entry) for number, entry in enumerate(repeated, start=1))


def _station(number: int, entry: Parsed) -> Station:
    feet = entry.get("distance_ft")
    return Station(number, entry["lie"], None if feet is None else feet * FOOT_M, entry.get("club"))


def _award(entry: Parsed) -> Award:
    feet = entry.get("within_ft")
    return Award(
        kind=entry["for"],
        points=entry["points"],
        limit_m=None if feet is None else feet * FOOT_M,
        sector_deg=entry.get("sector_deg"),
        what=entry.get("what", ""),
    )


def _check(rules: Rules) -> None:
    faults = [
        (rules.measure not in get_args(Measure), f"measure {rules.measure!r} is unknown"),
        (rules.order not in ("fixed", "drawn"), f"order {rules.order!r} is unknown"),
        (not 1 <= rules.draw <= len(rules.stations), f"draw {rules.draw} exceeds the stations"),
        (rules.measure == "points" and not rules.awards, "a points test needs awards"),
        (any(a.kind not in get_args(AwardKind) for a in rules.awards), "an award is unknown"),
        (rules.total_sd <= 0, "total_sd must be above zero"),
        (not rules.name.isidentifier(), f"name {rules.name!r} must be letters, digits and _"),
    ]
    said = [text for wrong, text in faults if wrong]
    if said:
        raise BadQuestion(f"{rules.key}: {'; '.join(said)}.", SHAPE)
