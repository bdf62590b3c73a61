"""Header names understood by the words they are made of, in ten languages."""

import pytest

from ingest.header_concepts import columns_by_concepts


@pytest.mark.parametrize(
    ("kind", "name", "column"),
    [
        ("launch", "measured speed of the club head", "club_speed_mps"),
        ("launch", "Schlägerkopfgeschwindigkeit", "club_speed_mps"),
        ("launch", "Taux de spin", "spin_rpm"),
        ("launch", "Velocidad inicial de la bola", "ball_speed_mps"),
        ("launch", "Utslagsvinkel", "launch_deg"),
        ("launch", "Desvio lateral", "side_m"),
        ("launch", "Velocità iniziale palla", "ball_speed_mps"),
        ("launch", "Clubkopsnelheid", "club_speed_mps"),
        ("launch", "打ち出し角度", "launch_deg"),
        ("launch", "최고 높이", "apex_m"),
        ("tempo", "Tempo di salita", "backswing_s"),
        ("marks", "Landung hinter Grünkante", "land_past_edge_m"),
        ("marks", "Distancia hasta el hoyo", "leave_m"),
        ("launch", "average ball speed", None),
        ("launch", "max ball speed", None),
        ("launch", "club path", None),
        ("launch", "speed", None),
        ("launch", "Durée de vol de la balle", "flight_s"),
        ("launch", "time of the hit", "when"),
        ("launch", "duration of the hit", None),
        ("marks", "angle of rest from the hole", "leave_bearing_deg"),
        ("marks", "direction to the hole", None),
    ],
)
def test_a_name_is_read_when_every_word_is_known(kind, name, column):
    assert columns_by_concepts(name, kind) == (() if column is None else (column,))
