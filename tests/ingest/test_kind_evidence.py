"""A table is taken for golf only when its header, or its owner, says so."""

import pytest

from ingest.options import Options
from ingest.read_export import read_export

FOREIGN = {
    "run": "time,heart rate,speed (m/s),distance (m)\n08:00,120,2.1,10\n08:01,121,2.2,20\n",
    "track": "lat,lon,time,speed\n40.1,-3.7,08:00,1.2\n40.2,-3.8,08:01,1.3\n",
    "songs": "Song,Tempo,Length (s),Ratio\nBlue,120,240,1.5\nRed,90,200,1.2\n",
    "clubs": "Item,Club,Loft (deg),Length (in),Price\n1,SW,56,35.5,120\n2,PW,46,35.7,110\n",
    "league": "Team,Played,Points\nNorth,10,21\nSouth,10,18\n",
    "flight": "Flight,From,To,Distance (km),Duration\n1,A,B,812,1:20\n2,B,C,433,0:55\n",
}
GOLF = {
    "carry": ("Shot,Carry (m)\n1,8.2\n2,8.9\n", "launch"),
    "speeds": ("Ball speed (m/s),Launch angle (deg),Carry (m)\n10,33,9.1\n10.2,32,9.4\n", "launch"),
    "plain words": ("Shot,Speed (mph),Distance (m)\n1,20,8.2\n2,21,8.9\n", "launch"),
    "tempo": ("Swing,Tempo,Speed (m/s)\n1,2.9,8.1\n2,3.1,8.4\n", "tempo"),
    "leave": ("Ball;Leave (m);Bearing\n1;1,2;90\n2;0,4;180\n", "marks"),
}


@pytest.mark.parametrize("name", FOREIGN)
def test_a_table_of_everyday_words_is_no_golf(name):
    read = read_export(FOREIGN[name].encode(), name="a.csv")
    assert (read.kind, read.outcome) == ("unknown", "rejected")
    assert read.reason
    assert read.mend
    assert len(read.set_aside) == 2


@pytest.mark.parametrize("name", GOLF)
def test_few_columns_are_enough_when_they_speak_of_golf(name):
    text, kind = GOLF[name]
    assert read_export(text.encode(), name="a.csv").kind == kind


def test_what_its_owner_says_is_believed():
    read = read_export(FOREIGN["run"].encode(), name="a.csv", options=Options(kind="launch"))
    assert read.kind == "launch"
