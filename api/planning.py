"""Planning a chip between the reader and the analytics: what was asked, and the plan in words."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass

from analytics.db import Connection
from analytics.errors import NoSuchClub, NothingYet
from analytics.leaves import player_putting
from analytics.plan_clubs import plan_clubs
from analytics.putting import putt_costs
from analytics.roll import Green
from analytics.shot_plan import ClubPlan, ShotPlan, plan_shot
from analytics.shot_simulation import PlanClub, Situation
from analytics.speed_for import Need, speeds_for
from analytics.stated_adjustments import adjustment
from api.reader_units import ReaderUnits


@dataclass(frozen=True)
class Asked:
    """The chip as it lies: metres from the ball, green speed in feet, angles in degrees."""

    edge_m: float
    hole_m: float
    green_speed_ft: float
    slope_deg: float = 0.0
    fall_line_deg: float = 0.0
    wet: bool = False
    lie_slope_deg: float = 0.0
    tail_wind_mps: float = 0.0
    clubs: tuple[str, ...] = ()


@dataclass(frozen=True)
class Planned:
    """The plan, what each club needs for it, and what was assumed or adjusted, in words."""

    asked: Asked
    plan: ShotPlan
    needs: dict[str, Need]
    assumed: tuple[str, ...]
    adjusted: str


def planned_shot(connection: Connection, player_id: str, asked: Asked) -> Planned:
    """The plan for one chip of one player.

    Raises: BadQuestion, OutOfRange, NothingYet: as `plan_clubs` and `plan_shot`.
    """
    stated = adjustment(asked.lie_slope_deg, asked.tail_wind_mps)
    bag = plan_clubs(connection, player_id, asked.wet)
    chosen = tuple(club for club in bag.clubs if not asked.clubs or club.club in asked.clubs)
    spot = Situation(
        asked.edge_m,
        asked.hole_m,
        Green(asked.green_speed_ft, asked.slope_deg, asked.fall_line_deg),
        stated.factor,
        stated.doubt,
    )
    costs = putt_costs(player_putting(connection, player_id).model)
    plan = plan_shot(spot, _some(chosen, asked.clubs), costs)
    needs = {
        one.club: need
        for one in plan.clubs
        if (need := _need(connection, player_id, one)) is not None
    }
    names = {one.club for one in plan.clubs}
    assumed = tuple(word for word in bag.assumed if _about(word, names))
    return Planned(asked, plan, needs, assumed, stated.why)


def plan_lines(told: Planned, units: ReaderUnits) -> Iterator[str]:
    """The plan in words, the best club first."""
    for place, one in enumerate(told.plan.clubs):
        yield from _club_lines(told, one, units, best=place == 0)
    yield _verdict(told.plan)
    for out in told.plan.left_out:
        yield f"{out.club}: left out, {out.reason}."
    if told.adjusted:
        yield f"Adjusted: {told.adjusted}."
    for word in told.assumed:
        yield f"Assumed: {word}."
    yield f"Putts by {told.plan.putting_label}."


def plan_document(player_id: str, told: Planned) -> dict[str, object]:
    """The plan as JSON tells it, SI units; the single plays are left out."""
    plan = told.plan
    return {
        "player_id": player_id,
        "asked": asdict(told.asked),
        "clubs": [club_document(told, one) for one in plan.clubs],
        "left_out": [asdict(one) for one in plan.left_out],
        "better_by_strokes": plan.better_by,
        "better_error_strokes": plan.better_error,
        "state": plan.state,
        "need": plan.need,
        "adjusted": told.adjusted,
        "assumed": list(told.assumed),
        "putting": plan.putting_label,
        "fit_version": plan.fit_version,
    }


def club_document(told: Planned, one: ClubPlan) -> dict[str, object]:
    """One club of a plan as JSON tells it."""
    need = told.needs.get(one.club)
    return {
        "club": one.club,
        "carry_m": one.carry_m,
        "land_past_edge_m": one.land_on_m,
        "aim_right_deg": one.aim_deg,
        "run_m": one.run_m,
        "speed_mps": None if need is None or need.speed is None else need.speed.value,
        "swing_length": None if need is None else need.swing_length,
        "leave_zone": asdict(one.leave_zone),
        "up_and_down": asdict(one.up_and_down),
        "short_of_green": one.short_of_green,
        "median_leave_m": one.median_leave_m,
        "strokes": one.strokes,
        "strokes_error": one.strokes_error,
        "n_shots": one.n_shots,
        "n_sessions": one.n_sessions,
        "need": one.too_early,
    }


def _club_lines(told: Planned, one: ClubPlan, units: ReaderUnits, best: bool) -> Iterator[str]:
    mark = "*" if best else " "
    carry, land, run = (units.of_metres(x) for x in (one.carry_m, one.land_on_m, one.run_m))
    aim = "straight" if abs(one.aim_deg) < 0.5 else _side(one.aim_deg)
    yield (
        f"{mark} {one.club}: carry {carry:.1f} {units.length}, {land:.1f} past the edge, run"
        f" {run:.1f}; aim {aim}; {one.strokes:.2f} strokes"
    )
    zone, saved = one.leave_zone, one.up_and_down
    yield (
        f"    leave zone {zone.value:.0%} ({zone.low:.0%} to {zone.high:.0%}), up and down"
        f" {saved.value:.0%} ({saved.low:.0%} to {saved.high:.0%}),"
        f" short of the green {one.short_of_green:.0%}"
    )
    need = told.needs.get(one.club)
    if need is not None and need.speed is not None and need.speed.value is not None:
        length = f", nearest swing length {need.swing_length}" if need.swing_length else ""
        yield f"    needs {units.of_mps(need.speed.value):.1f} {units.speed}{length}"


def _verdict(plan: ShotPlan) -> str:
    best = plan.clubs[0].club
    if plan.better_by is None:
        said = f"{best} is the only club looked at that plays this chip"
    elif plan.state == "clear":
        said = f"{best} is better than {plan.clubs[1].club} by {plan.better_by:.2f} strokes"
    else:
        said = (
            f"{best} before {plan.clubs[1].club} by {plan.better_by:.2f} strokes,"
            " too little to insist on"
        )
    state = plan.state.replace("_", " ") + (f": {plan.need}" if plan.need else "")
    return f"{said} [{state}]."


def _side(aim_deg: float) -> str:
    return f"{abs(aim_deg):.0f}° {'right' if aim_deg > 0 else 'left'} of the hole"


def _some(chosen: Sequence[PlanClub], wanted: Sequence[str]) -> tuple[PlanClub, ...]:
    if wanted and not chosen:
        raise NoSuchClub(
            f"There is no ball with {', '.join(wanted)} for this player.",
            "list the clubs with `carrybook curve`",
        )
    return tuple(chosen)


def _need(connection: Connection, player_id: str, one: ClubPlan) -> Need | None:
    """What the club needs for its carry; None for clubs that have no speeds."""
    try:
        return speeds_for(connection, player_id, one.carry_m, one.club)[0]
    except (NoSuchClub, NothingYet):
        return None


def _about(word: str, clubs: set[str]) -> bool:
    club, colon, _ = word.partition(":")
    return not colon or club in clubs or " " in club
