"""Headers: every phrase of every language means its column, alone and in a whole export."""

import pytest

from ingest.assign import choose_kind, readings
from ingest.headers import fit, read_header
from ingest.words import KINDS, languages

CELLS = {
    "when": "2026-03-14 10:00:00",
    "club_text": "SW",
    "note": "x",
    "session_label": "a",
    "method": "tape",
    "swing_length": "hip",
    "test": "t",
    "station_text": "x",
    "hit": "yes",
}
LEFT_OUT = {"elapsed", "zone", "player", "side_word", "inverse_tempo_ratio", "date"}


@pytest.mark.parametrize("language", languages(), ids=lambda language: language.code)
@pytest.mark.parametrize("kind", KINDS)
def test_every_phrase_names_its_column(language, kind):
    for column, phrases in language.columns[kind].items():
        for phrase in phrases:
            found = read_header(phrase).matches.get(kind, ())
            assert column in {match.column for match in found}, phrase


@pytest.mark.parametrize("language", languages(), ids=lambda language: language.code)
@pytest.mark.parametrize("kind", KINDS)
def test_an_export_in_one_language_is_understood_whole(language, kind):
    phrases = {**language.columns["common"], **language.columns[kind]}
    columns = {c: p[0] for c, p in phrases.items() if p and c not in LEFT_OUT}
    if kind in {"marks", "scores"}:
        del columns["device_number"]
    headers = list(columns.values())
    assert choose_kind(headers) == kind
    cells = {"swing_length": "45%"} if kind == "tempo" else {}
    samples = [[{**CELLS, **cells}.get(column, "12.5")] for column in columns]
    found = [one.columns for one in readings(headers, None, samples, kind, {})]
    wanted = {"swing_length": "swing_length_share"} if kind == "tempo" else {}
    assert found == [(wanted.get(column, column),) for column in columns]


@pytest.mark.parametrize(
    ("text", "column", "unit"),
    [
        ("Ball Speed (mph)", "ball_speed_mps", "mph"),
        ("Carry, yd", "carry_m", "yd"),
        ("Carry_m", "carry_m", "m"),
        ("BallSpeedMph", "ball_speed_mps", "mph"),
        ("BALL SPEED KM/H", "ball_speed_mps", "km/h"),
        ("Ballgeschwindigkeit in km/h", "ball_speed_mps", "km/h"),
        ("飛距離(キャリー) (ヤード)", "carry_m", "ヤード"),
        ("launch.carry_yd", "carry_m", "yd"),
        ("Carry Dist.", "carry_m", None),
        ("Bal speed", "ball_speed_mps", None),
        ("Side L+", "side_m", None),
    ],
)
def test_names_and_units_are_told_apart(text, column, unit):
    header = read_header(text, True)
    assert {match.column for match in header.matches["launch"]} == {column}
    assert (header.unit_text or "").casefold() == (unit or "").casefold()


def test_fit_tells_headers_from_rows():
    assert fit(["Shot", "Time", "Club", "Carry (yd)"]) == 1.0
    assert fit(["1", "2026-03-14", "SW", "12.5"]) == 0.0
    assert fit([]) == 0.0


@pytest.mark.parametrize(
    ("text", "column", "unit"),
    [
        ("Schlägerkopfgeschw. (km/h)", "club_speed_mps", "km/h"),
        ("Ballgeschw. (km/h)", "ball_speed_mps", "km/h"),
    ],
)
def test_an_abbreviation_at_the_end_of_a_compound_is_spelt_out(text, column, unit):
    header = read_header(text)
    assert [match.column for match in header.matches["launch"]] == [column]
    assert header.unit_text == unit
