"""`carrybook pair` from the command line: two files in many dialects, and pairs set by hand."""

import csv
import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from api.cli import main
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

START = datetime(2026, 5, 4, 17, 30)

STAMPS = {
    "local": ("Local time", lambda at: at.isoformat(sep=" ", timespec="milliseconds"), ","),
    "twelve hours": ("Date/Time", lambda at: at.strftime("%m/%d/%Y %I:%M:%S %p"), ","),
    "dotted": ("Time", lambda at: at.strftime("%d.%m.%Y %H:%M:%S"), ";"),
    "clock only": ("Time", lambda at: at.strftime("%H:%M:%S"), ","),
    "since 1970": ("Unix time (s)", lambda at: f"{at.replace(tzinfo=UTC).timestamp():.3f}", ","),
    "elapsed": ("Elapsed (s)", lambda at: f"{(at - START).total_seconds() + 9000:.2f}", ","),
}


def write(path, header, rows, separator):
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, delimiter=separator)
        out.writerow(header)
        out.writerows(rows)


def cell(value, separator):
    text = "" if not np.isfinite(value) else f"{value:.2f}"
    return text.replace(".", ",") if separator == ";" else text


def files(folder, session, dialect):
    name, stamp, separator = STAMPS[dialect]
    launch, swings = folder / "launch.csv", folder / "swings.csv"
    at = [START + timedelta(seconds=float(t)) for t in session.launch.times_s]
    rows = [
        (row, stamp(t), "SW", cell(v, separator))
        for row, (t, v) in enumerate(zip(at, session.launch.ball_speed_mps, strict=True), 1)
    ]
    write(launch, ("No.", name, "Club", "Ball speed (m/s)"), rows, separator)
    at = [START + timedelta(seconds=float(t)) for t in session.swings.times_s]
    log = session.swings
    columns = zip(at, log.backswing_s, log.downswing_s, log.peak_speed_mps, strict=True)
    rows = [
        (row, stamp(t), *(cell(v, separator) for v in values))
        for row, (t, *values) in enumerate(columns, 1)
    ]
    write(swings, ("Swing", name, "Backswing (s)", "Downswing (s)", "Speed"), rows, separator)
    return launch, swings


def run(capsys, *arguments):
    with pytest.raises(SystemExit) as ended:
        main(["pair", *map(str, arguments)])
    return ended.value.code, capsys.readouterr().out


@pytest.mark.parametrize("dialect", STAMPS)
def test_lines_of_two_files_in_any_dialect(tmp_path, capsys, dialect):
    session = make_session(SCENARIOS["plain"], np.random.default_rng(31))
    launch, swings = files(tmp_path, session, dialect)
    code, out = run(capsys, "--launch", launch, "--swings", swings, "--json")
    found = json.loads(out)
    assert code == 0, found["reason"]
    pairs = {(p["launch_line"] - 2, p["swing_line"] - 2) for p in found["pairs"]}
    true = set(session.struck.items())
    assert len(pairs & true) / max(len(pairs), len(true)) >= 0.95
    lines = [p["swing_line"] for name in ("pairs", "rehearsals", "other") for p in found[name]]
    assert sorted(lines) == list(range(2, len(session.swings.times_s) + 2))
    assert set(found["clock"]) == {"offset_s", "drift_ppm", "steps", "residual_s", "margin"}


def test_one_line_pinned_by_hand_settles_two_files_of_even_rhythm(tmp_path, capsys):
    session = make_session(SCENARIOS["metronome_1s"], np.random.default_rng(3))
    launch, swings = files(tmp_path, session, "local")
    asked = ("--launch", launch, "--swings", swings, "--json")
    code, out = run(capsys, *asked)
    assert code == 1
    assert json.loads(out)["verdict"] == "ambiguous"
    assert json.loads(out)["mend"]
    shot, swing = sorted(session.struck.items())[5]
    code, out = run(capsys, *asked, "--pin", f"{shot + 2}={swing + 2}")
    assert code == 0
    pairs = {(p["launch_line"] - 2, p["swing_line"] - 2) for p in json.loads(out)["pairs"]}
    assert len(pairs & set(session.struck.items())) >= 0.97 * len(pairs)


def test_a_pin_on_a_line_that_holds_no_shot_is_refused(tmp_path, capsys):
    session = make_session(SCENARIOS["shots_12"], np.random.default_rng(3))
    launch, swings = files(tmp_path, session, "local")
    code, _ = run(capsys, "--launch", launch, "--swings", swings, "--pin", "1=5")
    assert code == 2


def test_a_session_over_two_launch_files_names_the_file_of_each_line(tmp_path, capsys):
    session = make_session(SCENARIOS["plain"], np.random.default_rng(31))
    launch, swings = files(tmp_path, session, "local")
    header, *rows = launch.read_text("utf-8").splitlines()
    half = len(rows) // 2
    parts = [tmp_path / "first.csv", tmp_path / "second.csv"]
    for part, some in zip(parts, (rows[:half], rows[half:]), strict=True):
        part.write_text("\n".join([header, *some]) + "\n", "utf-8")
    asked = ("--launch", parts[0], "--launch", parts[1], "--swings", swings, "--json")
    code, out = run(capsys, *asked)
    assert code == 0
    start = {"first.csv": 2, "second.csv": 2 - half}
    pairs = {
        (p["launch_line"] - start[p["launch_file"]], p["swing_line"] - 2)
        for p in json.loads(out)["pairs"]
    }
    assert all("swing_file" not in p for p in json.loads(out)["pairs"])
    true = set(session.struck.items())
    assert len(pairs & true) / max(len(pairs), len(true)) >= 0.95


def test_every_line_of_the_swings_is_told_of_also_one_that_cannot_be_read(tmp_path, capsys):
    session = make_session(SCENARIOS["plain"], np.random.default_rng(31))
    launch, swings = files(tmp_path, session, "local")
    rows = swings.read_text("utf-8").splitlines()
    rows[5] = rows[5].replace(",", ",not a time,", 1).rpartition(",")[0]
    swings.write_text("\n".join(rows) + "\n", "utf-8")
    _, out = run(capsys, "--launch", launch, "--swings", swings, "--json")
    found = json.loads(out)
    lines = [p["swing_line"] for name in ("pairs", "rehearsals", "other") for p in found[name]]
    assert sorted(lines) == list(range(2, len(rows) + 1))
    (unread,) = (one["why"] for one in found["other"] if one["swing_line"] == 6)
    assert unread


@pytest.mark.parametrize("header", ["t (s)", "Elapsed (s)"])
@pytest.mark.parametrize("separator", [",", ";"])
@pytest.mark.parametrize("zero_s", [9000.0, -700.0])
def test_seconds_of_a_clock_of_its_own_are_read(tmp_path, capsys, header, separator, zero_s):
    """Also with a decimal comma, and where the clock began after the session did."""
    session = make_session(SCENARIOS["plain"], np.random.default_rng(31))
    launch, swings = files(tmp_path, session, "local")
    first = session.launch.times_s.min()
    rows = [
        (row, cell(t - first + zero_s, separator), "SW", cell(v, separator))
        for row, (t, v) in enumerate(
            zip(session.launch.times_s, session.launch.ball_speed_mps, strict=True), 1
        )
    ]
    write(launch, ("No.", header, "Club", "Ball speed (m/s)"), rows, separator)
    code, out = run(capsys, "--launch", launch, "--swings", swings, "--json")
    assert code == 0, json.loads(out)["reason"]
    assert len(json.loads(out)["pairs"]) >= 0.95 * len(session.struck)
