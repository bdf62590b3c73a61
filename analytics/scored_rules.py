"""Reads the rules of scored tests: those that come along, a coach's own in the store or a folder.

Rules in the store are written once each and never changed (`ingest/own_tests.py`); they are the
whole book's or one coach's.
"""

import json
import math
import re
import tomllib
from collections.abc import Sequence
from dataclasses import asdict
from importlib import resources
from pathlib import Path
from typing import Any, get_args

from analytics.errors import BadQuestion, NoSuchTest
from analytics.hole import FOOT_M
from analytics.scored_test import MOST_STROKES, Award, AwardKind, Measure, Rules, Station
from schemas.store_paths import own_tests_dir

Parsed = dict[str, Any]  # parsed TOML of open shape

SHAPE = "compare it with one of the tests that come along: `carrybook tests --json`"
KEPT = ("name", "version", "title", "measure", "target", "total_sd", "order", "draw")
MOST_STATIONS, MOST_POINTS, LONGEST_M = 200, 100, 100.0


def built_in_rules() -> dict[str, Rules]:
    """The tests that come along, by name@version."""
    folder = resources.files("analytics.rules")
    texts = [entry.read_text("utf-8") for entry in folder.iterdir() if entry.name.endswith(".toml")]
    return {rules.key: rules for rules in map(parse_rules, sorted(texts))}


def all_rules(*folders: Path | None) -> dict[str, Rules]:
    """The tests that come along and those in folders of TOML files; no two by one name@version.

    Raises: BadQuestion for a file that is no set of rules, or takes a name that is taken.
    """
    found = built_in_rules()
    for path in _own_files(folders):
        rules = parse_rules(path.read_text("utf-8"))
        if rules.key in found:
            raise BadQuestion(
                f"{path.name}: {rules.key} is already taken.", "give it another name or version"
            )
        found[rules.key] = rules
    return found


def _own_files(folders: Sequence[Path | None]) -> list[Path]:
    there = [folder for folder in folders if folder is not None and folder.is_dir()]
    return [path for folder in there for path in sorted(folder.glob("*.toml"))]


def known_rules(store: Path, coach: str | None, *folders: Path | None) -> dict[str, Rules]:
    """Every test a player of this coach can be scored by: those that come along, those in
    `folders`, the whole book's own and the coach's own.

    Raises: BadQuestion as `all_rules`.
    """
    found = all_rules(*folders)
    for whose, rules in kept_rules(store):
        if whose in ("", coach or ""):
            found.setdefault(rules.key, rules)
    return found


def kept_rules(store: Path) -> list[tuple[str, Rules]]:
    """Tests that coaches made in this store, each with its coach (empty: the whole book's)."""
    folder = own_tests_dir(store)
    if not folder.is_dir():
        return []
    read = [json.loads(path.read_text("utf-8")) for path in sorted(folder.glob("[!.]*.json"))]
    return [(parsed["coach"], rules_from(parsed)) for parsed in read]


def find_rules(text: str, known: dict[str, Rules]) -> Rules:
    """The test meant by name@version, by name (newest version), or by title.

    Raises: NoSuchTest listing what there is.
    """
    wanted = text.strip().lower().replace("-", "_").replace(" ", "_")
    named = [rules for key, rules in known.items() if wanted in (key, rules.name)]
    titles = ((rules, rules.title.lower()) for rules in known.values())
    hits = named or [
        rules for rules, title in titles if title.replace("-", "_").replace(" ", "_") == wanted
    ]
    if not hits:
        raise NoSuchTest(f"There is no test {text!r}.", f"use one of {', '.join(sorted(known))}")
    return max(hits, key=lambda rules: rules.version)


def parse_rules(text: str) -> Rules:
    """Rules from the text of a TOML file. Raises: BadQuestion naming what is missing or wrong."""
    try:
        return rules_from(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise BadQuestion(f"The rules are no TOML: {error}.", SHAPE) from error


def rules_from(parsed: Parsed) -> Rules:
    """Rules from a parsed document. Raises: BadQuestion naming what is missing or wrong."""
    try:
        rules = _rules(parsed)
        check_rules(rules)
    except KeyError as error:
        raise BadQuestion(f"The rules lack the field {error.args[0]!r}.", SHAPE) from error
    except (TypeError, AttributeError) as error:
        raise BadQuestion(f"The rules have a field of the wrong kind: {error}.", SHAPE) from error
    return rules


def document_of(rules: Rules) -> Parsed:
    """Rules as a document that `rules_from` reads back, lengths in metres."""
    stations = [asdict(one) for one in rules.stations]
    for one in stations:
        one.pop("number")
    awards = [asdict(one) for one in rules.awards]
    for award in awards:
        award |= {"for": award.pop("kind"), "within_m": award.pop("limit_m")}
    kept = {name: getattr(rules, name) for name in KEPT}
    return kept | {"station": stations, "award": awards, "hit": {"within_m": rules.hit_within_m}}


def _rules(parsed: Parsed) -> Rules:
    stations = _stations(parsed["station"])
    draw = parsed.get("draw", len(stations))
    awards = tuple(_award(entry) for entry in parsed.get("award", []))
    best = draw * sum(award.points for award in awards)
    target, measure, stated = parsed["target"], parsed["measure"], parsed.get("total_sd")
    return Rules(
        name=parsed["name"],
        version=parsed["version"],
        title=parsed["title"],
        measure=measure,
        target=target,
        total_sd=usual_sd(measure, draw, target, best) if stated is None else stated,
        order=parsed["order"],
        draw=draw,
        stations=stations,
        awards=awards,
        hit_within_m=_metres(parsed.get("hit", {}), "within"),
    )


def usual_sd(measure: Measure, draw: int, target: float, best_points: float) -> float:
    """SD of one total to begin with, until own sittings tell more (assumed, no source).

    Strokes: two thirds of a stroke per station. Points: as the low-side test, 0.36 of a station's
    points. Hits: binomial at the target's rate.
    """
    draw = max(draw, 1)
    if measure == "strokes":
        return 2 / 3 * math.sqrt(draw)
    if measure == "points":
        return 0.36 * best_points / math.sqrt(draw) or 1.0
    rate = min(max(target / draw, 0.1), 0.9)
    return math.sqrt(draw * rate * (1 - rate))


def _metres(entry: Parsed, name: str) -> float | None:
    feet, metres = entry.get(f"{name}_ft"), entry.get(f"{name}_m")
    return feet * FOOT_M if feet is not None else metres


def _stations(entries: list[Parsed]) -> tuple[Station, ...]:
    repeated = [entry for entry in entries for _ in range(entry.get("repeat", 1))]
    return tuple(_station(number, entry) for number, entry in enumerate(repeated, start=1))


def _station(number: int, entry: Parsed) -> Station:
    return Station(number, entry["lie"], _metres(entry, "distance"), entry.get("club"))


def _award(entry: Parsed) -> Award:
    return Award(
        kind=entry["for"],
        points=entry["points"],
        limit_m=_metres(entry, "within"),
        sector_deg=entry.get("sector_deg"),
        what=entry.get("what", ""),
    )


def check_rules(rules: Rules) -> None:
    """Raises: BadQuestion with the first fault of rules that nobody could be scored by."""
    said = [text for wrong, text in [*_award_faults(rules), *_faults(rules)] if wrong]
    if said:
        raise BadQuestion(f"{rules.key}: {said[0]}.", SHAPE)


def _faults(rules: Rules) -> list[tuple[bool, str]]:
    within = rules.measure in get_args(Measure) and not 0 < rules.target <= _most(rules)
    return [
        (rules.measure not in get_args(Measure), f"measure {rules.measure!r} is unknown"),
        (rules.order not in ("fixed", "drawn"), f"order {rules.order!r} is unknown"),
        (not rules.stations, "there is no station"),
        (len(rules.stations) > MOST_STATIONS, f"there are more than {MOST_STATIONS} stations"),
        (not 1 <= rules.draw <= len(rules.stations), f"draw {rules.draw} exceeds the stations"),
        (within, f"target {rules.target:g} cannot be reached: the most is {_most(rules):g}"),
        (rules.total_sd <= 0, "total_sd must be above zero"),
        (not rules.title.strip(), "the title is missing"),
        (any(not one.lie.strip() for one in rules.stations), "a station has no lie"),
        (
            any(not 0 < (one.distance_m or 1) <= LONGEST_M for one in rules.stations),
            f"a station lies further than {LONGEST_M:g} m, or nowhere",
        ),
        (
            not re.fullmatch(r"[a-z][a-z0-9_]{1,40}", rules.name),
            f"name {rules.name!r} must be small letters, digits and _",
        ),
    ]


def _award_faults(rules: Rules) -> list[tuple[bool, str]]:
    awards, points = rules.awards, rules.measure == "points"
    bare = [a for a in awards if a.kind == "within" and not (a.limit_m or 0) > 0]
    bare += [a for a in awards if a.kind == "in_sector" and not 0 < (a.sector_deg or 0) <= 180]
    bare += [a for a in awards if a.kind == "judged" and not a.what.strip()]
    station = sum(award.points for award in awards)
    return [
        (points and not awards, "a points test needs awards"),
        (not points and bool(awards), "awards belong to a points test"),
        (any(a.kind not in get_args(AwardKind) for a in awards), "an award is unknown"),
        (any(a.points <= 0 for a in awards), "an award gives no points"),
        (station > MOST_POINTS, f"a station gives more than {MOST_POINTS} points"),
        (bool(bare), "an award lacks its distance, its angle (up to 180°) or its question"),
        (rules.hit_within_m is not None and rules.hit_within_m <= 0, "a hit lies within nothing"),
    ]


def _most(rules: Rules) -> float:
    return MOST_STROKES * rules.draw if rules.measure == "strokes" else rules.best
