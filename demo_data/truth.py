"""What is true in the demo, as plain data: the answers that the tests hold the product against."""

from collections.abc import Iterable
from typing import TypeAlias

from demo_data import book as planted
from demo_data.book import Book, Day, LaunchFile
from demo_data.cast import (
    CLUBS,
    COACH,
    EXPONENT,
    FOOT_M,
    PLACE,
    PLAYERS,
    REFERENCE_SPEED_MPS,
    WET_WEEK,
    ZONE,
    Player,
    curve_level,
    day_of,
    player,
)
from demo_data.clock import CLOCK_FAULT_PLAYER, CLOCK_FAULT_S, CLOCK_FAULT_WEEKS
from demo_data.ground import conditions

Json: TypeAlias = "str | int | float | bool | list[Json] | dict[str, Json] | None"


def truth(book: Book) -> dict[str, Json]:
    """Players, sessions, faults and decoys of a book; lines are 1-based physical lines."""
    return {
        "seed": book.seed,
        "place": PLACE,
        "coach": COACH,
        "zone": ZONE,
        "players": [_player(one) for one in PLAYERS],
        "sessions": [_session(day) for day in book.days],
        "faults": list(_faults(book)),
        "decoys": [
            {"player_id": one.player_id, "measure": measure}
            for one in PLAYERS
            for measure in one.nulls
        ],
    }


def _player(one: Player) -> dict[str, Json]:
    return {
        "player_id": one.player_id,
        "display_name": one.name,
        "handedness": one.handedness,
        "age_band": one.age_band,
        "guardian_consent": one.guardian_consent,
        "story": one.story,
        "curves": {
            club.kind: {
                "ln_carry_m_at_reference": curve_level(one, club),
                "reference_club_speed_mps": REFERENCE_SPEED_MPS,
                "exponent": EXPONENT,
            }
            for club in CLUBS.values()
        },
        "shot_sd_ln_carry": one.residual_sd,
        "day_sd_ln_carry": one.day_sd,
        "rehearsal_bias": one.rehearsal_bias,
        "rehearsal_sd_ft": one.rehearsal_sd_ft,
        "sensor_scale": one.sensor_scale,
        "mishit_share": one.mishit_share,
        "start_right_deg": one.start_right_deg,
        "pull_deg": one.start_right_deg * (1 if one.handedness == "left" else -1),
        "tempo_ratio_first_ball": one.tempo_ratio,
        "tempo_fall_by_ball_45": one.tempo_fall,
        "target_ft": one.target_ft,
        "bracket_width_ft": list(one.width_ft),
        "landing_sd_ft": list(one.landing_sd_ft),
        "landing_offset_ft": list(one.offset_ft),
        "test_totals": list(one.test_totals),
    }


def _session(day: Day) -> dict[str, Json]:
    one, week = day.session.player, day.session.week
    place = conditions(one, week)
    lines = _lines_of_balls(day)
    swings = list(zip(day.sensor.lines, day.session.swings, strict=True))
    return {
        "player_id": one.player_id,
        "day": day_of(week).isoformat(),
        "launch_files": [file.path for file in day.launch],
        "tempo_file": day.sensor_path,
        "marks_file": day.marks.path,
        "sensor_offset_s": day.sensor_offset_s,
        "window_m": [place.window_near_ft * FOOT_M, place.window_far_ft * FOOT_M],
        "wetness": place.wetness,
        "n_balls": len(day.session.shots),
        "pairs": [
            {"launch_line": lines[swing.ball], "swing_line": line, "ball": swing.ball}
            for line, swing in swings
            if swing.role == "strike" and swing.ball in lines
        ],
        "rehearsals": [
            {"swing_line": line, "role": swing.role, "ball": swing.ball}
            for line, swing in swings
            if swing.role.startswith("rehearse")
        ],
        "other_swing_lines": [line for line, swing in swings if swing.role == "other"],
        "mishit_balls": [shot.ball for shot in day.session.shots if shot.mishit],
        "mishit_lines": [
            lines[shot.ball] for shot in day.session.shots if shot.mishit and shot.ball in lines
        ],
    }


def _lines_of_balls(day: Day) -> dict[int, int]:
    """Line in the session's last launch file of each of the player's own balls."""
    file = day.launch[-1]
    own = day.session.player
    return {
        ball.shot.ball: line
        for ball, owner, line in zip(file.balls, file.owners, file.export.lines, strict=True)
        if owner == own
    }


def _faults(book: Book) -> Iterable[dict[str, Json]]:
    yield _file_fault(book, "distances_in_yards", planted.YARDS_AT)
    yield _file_fault(book, "decimal_comma", planted.COMMA_AT)
    early, full = _day(book, planted.OVERLAP_AT).launch
    yield {
        "fault": "overlapping_export",
        "player_id": player(planted.OVERLAP_AT[0]).player_id,
        "files": [early.path, full.path],
        "lines": list(full.export.lines[: planted.OVERLAP_ROWS]),
        "new_rows": len(full.balls) - planted.OVERLAP_ROWS,
    }
    yield {
        "fault": "sensor_clock",
        "player_id": player(CLOCK_FAULT_PLAYER).player_id,
        "files": [_day(book, (CLOCK_FAULT_PLAYER, week)).sensor_path for week in CLOCK_FAULT_WEEKS],
        "offset_s": CLOCK_FAULT_S,
    }
    host = _day(book, (planted.FOREIGN_HOST, planted.FOREIGN_WEEK)).launch[0]
    yield {
        "fault": "rows_of_another_player",
        "player_id": host.owners[0].player_id,
        "true_player_id": player(planted.FOREIGN_OWNER).player_id,
        "files": [host.path],
        "lines": list(host.export.lines[-planted.FOREIGN_ROWS :]),
    }
    twin = _day(book, planted.TWIN_AT).launch[0]
    yield {
        "fault": "true_pair_that_looks_doubled",
        "player_id": twin.owners[0].player_id,
        "files": [twin.path],
        "lines": [twin.export.lines[ball - 1] for ball in planted.TWIN_BALLS],
    }
    for one in PLAYERS:
        yield {
            "fault": "wet_session",
            "player_id": one.player_id,
            "files": [f"{one.name.lower()}/sessions.jsonl"],
            "lines": [1 + WET_WEEK],
        }


def _day(book: Book, where: tuple[str, int]) -> Day:
    return next(day for day in book.days if (day.session.player.name, day.session.week) == where)


def _file_fault(book: Book, fault: str, where: tuple[str, int]) -> dict[str, Json]:
    file: LaunchFile = _day(book, where).launch[0]
    return {
        "fault": fault,
        "player_id": player(where[0]).player_id,
        "files": [file.path],
        "lines": list(file.export.lines),
    }
