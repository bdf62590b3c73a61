"""A coach's own test as a form says it, and a test as the form shows it again.

A station is one line: the lie, then in any order a distance and a club, parted by commas; `3 x`
before it stands for three such stations.
"""

import math
import re
from collections.abc import Mapping

from analytics.errors import BadQuestion
from analytics.scored_rules import MOST_STATIONS, Parsed, rules_from
from analytics.scored_test import Award, Rules, Station
from analytics.tape import read_length
from api.own_tests import name_from
from api.page_view import View

REPEAT = re.compile(r"(?P<times>\d{1,3})\s*[x×*]\s*(?P<rest>.+)")
CLUB = re.compile(r"(DR|[2-9][WHI]|[PGSL]W)", re.IGNORECASE)
AWARDS = ("below_hole", "within", "in_sector", "holed")
QUESTIONS = 3


def rules_of(fields: Mapping[str, str], view: View) -> Rules:
    """The rules a form describes. Raises: BadQuestion for what cannot be read or cannot be."""
    title = view.original(" ".join(fields.get("title", "").split()))[:60]
    lines = [line for line in fields.get("stations", "").splitlines() if line.strip()]
    stations: list[Parsed] = []
    for number, line in enumerate(lines, 1):
        stations += _stations(number, line, view)
        if len(stations) > MOST_STATIONS:
            break  # refused below, whatever follows
    measure = fields.get("measure", "")
    parsed: Parsed = {
        "name": fields.get("name") or name_from(title),
        "version": 1,
        "title": title,
        "measure": measure,
        "target": _number(fields, "target"),
        "order": fields.get("order") or "fixed",
        "station": stations,
        "award": _awards(fields, view) if measure == "points" else [],
        "hit": {"within_m": _metres(fields, "hit_within", view) if measure == "hits" else None},
    }
    if fields.get("draw", "").strip():
        parsed["draw"] = int(_number(fields, "draw"))
    return rules_from(parsed)


def fields_of(rules: Rules, view: View) -> dict[str, str]:
    """A test as the form's fields, to make the next version from.

    Raises: BadQuestion for a test that the form would lose something of.
    """
    _must_fit(rules)
    fields = {
        "name": rules.name,
        "title": view.phrase(rules.title),
        "measure": rules.measure,
        "target": f"{rules.target:g}",
        "order": rules.order,
        "draw": "" if rules.draw == len(rules.stations) else str(rules.draw),
        "stations": "\n".join(_line(one, view) for one in rules.stations),
        "hit_within": _length(rules.hit_within_m, view),
    }
    questions = [award for award in rules.awards if award.kind == "judged"]
    for number, award in enumerate(questions[:QUESTIONS]):
        fields |= {
            f"what_{number}": view.phrase(award.what),
            f"points_what_{number}": f"{award.points:g}",
        }
    for award in rules.awards:
        if award.kind != "judged":
            fields |= _award_fields(award, view)
    return fields


def _must_fit(rules: Rules) -> None:
    kinds = [award.kind for award in rules.awards]
    shown = [kind for kind in kinds if kind != "judged"]
    if len(set(shown)) < len(shown) or kinds.count("judged") > QUESTIONS:
        raise BadQuestion(
            f"{rules.title} gives points for more than this form has fields.",
            "make the next version with `carrybook tests add --new-version`.",
        )


def _award_fields(award: Award, view: View) -> dict[str, str]:
    limits = {"within": _length(award.limit_m, view), "in_sector": f"{award.sector_deg or 0:g}"}
    return {
        f"points_{award.kind}": f"{award.points:g}",
        f"limit_{award.kind}": limits.get(award.kind, ""),
    }


def _stations(number: int, line: str, view: View) -> list[Parsed]:
    repeated = REPEAT.fullmatch(line.strip())
    times = int(repeated["times"]) if repeated else 1
    lie, *rest = [part.strip() for part in (repeated["rest"] if repeated else line).split(",")]
    if not lie:
        raise BadQuestion(
            f"Line {number} of the stations has no lie.", "write for example: fringe, 24 ft, SW"
        )
    station: Parsed = {"lie": view.original(lie)[:60]}
    for part in filter(None, rest):
        if CLUB.fullmatch(part):
            station["club"] = part.upper()
        else:
            station["distance_m"] = read_length(part, view.length).metres
    return [station] * times


def _awards(fields: Mapping[str, str], view: View) -> list[Parsed]:
    awards: list[Parsed] = []
    for kind in AWARDS:
        if fields.get(f"points_{kind}", "").strip():
            award: Parsed = {"for": kind, "points": _number(fields, f"points_{kind}")}
            if kind == "within":
                award["within_m"] = _metres(fields, "limit_within", view)
            if kind == "in_sector":
                award["sector_deg"] = _number(fields, "limit_in_sector")
            awards.append(award)
    for number in range(QUESTIONS):
        what = view.original(fields.get(f"what_{number}", "").strip())[:120]
        if what:
            points = _number(fields, f"points_what_{number}")
            awards.append({"for": "judged", "points": points, "what": what})
    return awards


def _number(fields: Mapping[str, str], name: str) -> float:
    said = fields.get(name, "").strip()
    try:
        number = float(said.replace(",", "."))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise BadQuestion(f"{name}: {said!r} is no number.", "write for example 6")
    return number


def _metres(fields: Mapping[str, str], name: str, view: View) -> float | None:
    said = fields.get(name, "").strip()
    return read_length(said, view.length).metres if said else None


def _length(metres: float | None, view: View) -> str:
    return "" if metres is None else f"{view.to_length(metres):.4g} {view.length}"


def _line(station: Station, view: View) -> str:
    return ", ".join(
        filter(None, (view.phrase(station.lie), _length(station.distance_m, view), station.club))
    )
