"""Time texts taken apart, date orders decided or left open, zones and seasons."""

from datetime import date

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ingest.date_order import decide_order, order_from_text, resolved
from ingest.signs import sign_stated
from ingest.time_columns import classify
from ingest.times import read_stamp
from ingest.zone_seasons import out_of_season
from ingest.zone_texts import read_zone

MORNING = ((10 * 60 + 23) * 60 + 5) * 1_000_000


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-14 10:23:05",
        "2026/3/14 10:23:05",
        "14.03.2026 10:23:05",
        "14 March 2026 10:23:05",
        "March 14, 2026 10:23:05 AM",
        "14 mars 2026 10h23m05s",
        "14 de marzo de 2026 10:23:05",
        "14. März 2026 um 10:23:05 Uhr",
        "2026年3月14日 10時23分5秒",
        "2026년 3월 14일 오전 10:23:05",
        "Sat Mar 14 10:23:05 2026",
        "sabato 14 marzo 2026 10:23:05",
        "20260314T102305",
    ],
)
def test_one_instant_in_many_spellings(text):
    stamp = read_stamp(text)
    assert resolved(stamp, None) == date(2026, 3, 14)
    assert stamp.clock_us == MORNING


@pytest.mark.parametrize(
    ("text", "offset_min", "zone"),
    [
        ("2026-03-14T10:23:05Z", 0, None),
        ("2026-03-14T10:23:05+01:00", 60, None),
        ("2026-03-14T10:23:05-0500", -300, None),
        ("2026-03-14 10:23:05 UTC+2", 120, None),
        ("2026-03-14 10:23:05 CET", 60, None),
        ("10:23:05 Europe/Madrid", None, "Europe/Madrid"),
        ("2026-03-14T10:23:05+01:00[Europe/Berlin]", 60, "Europe/Berlin"),
    ],
)
def test_zones_in_the_text(text, offset_min, zone):
    stamp = read_stamp(text)
    assert (stamp.offset_min, stamp.zone) == (offset_min, zone)


@pytest.mark.parametrize("text", ["", "soon", "25:00", "10:61", "12", "3.5", "99.99.9999 1"])
def test_texts_that_are_no_time(text):
    assert read_stamp(text) is None or read_stamp(text).clock_us is None


@pytest.mark.parametrize(
    ("texts", "said", "order"),
    [
        (["13/04/2026", "03/04/2026"], {}, "dmy"),
        (["04/13/2026", "03/04/2026"], {}, "mdy"),
        (["03/04/2026"], {}, None),
        (["04/04/2026"], {}, "dmy"),
        (["13/04/2026", "04/13/2026"], {}, None),
        (["03/04/2026"], {"anchors": [date(2026, 4, 3)]}, "dmy"),
        (["03/04/2026"], {"anchors": [date(2026, 3, 4)]}, "mdy"),
        (["03/04/2026"], {"local_order": "dmy"}, "dmy"),
        (["03/04/2026"], {"said": "mdy"}, "mdy"),
        (["14.03.26"], {}, "dmy"),
        (["26/04/03"], {}, "ymd"),
        (["24-03-16"], {"year_leads": True}, None),
    ],
)
def test_day_or_month_first(texts, said, order):
    assert decide_order([read_stamp(text) for text in texts], **said).order == order


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("dd/mm/yyyy", "dmy"),
        ("TT.MM.JJJJ", "dmy"),
        ("jj/mm/aaaa", "dmy"),
        ("mm/dd/yy", "mdy"),
        ("YYYY-MM-DD", "ymd"),
        ("anything", None),
    ],
)
def test_orders_spelt_out(text, order):
    assert order_from_text(text) == order


def test_zone_texts():
    assert read_zone("(UTC+01:00) somewhere") == (60, None)
    assert read_zone("europe/berlin") == (None, "Europe/Berlin")
    assert read_zone("BST") == (None, None), "British or Bangladesh: not told apart"


def test_abbreviations_out_of_season():
    assert out_of_season("CET", [date(2026, 1, 14)]) is None
    assert out_of_season("CET", [date(2026, 7, 14)]) == ("+01:00", "Europe/Berlin")
    assert out_of_season("UTC", [date(2026, 7, 14)]) is None


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        ("+ = left", -1),
        ("R+/L-", 1),
        ("negative values are right", -1),
        ("links positiv", -1),
        ("gauche = +", -1),
        ("positive = left, negative = right", -1),
        ("R = +, L = -", 1),
        ("L/R", None),
        ("+/-", None),
        ("+ = left, - = left", None),
    ],
)
def test_which_side_plus_is(text, sign):
    assert sign_stated(text) == sign


@given(
    st.dates(date(1890, 1, 1), date(2210, 1, 1)), st.integers(0, 25), st.integers(0, 62),
    st.integers(0, 62), st.sampled_from("T "),
)  # fmt: skip
def test_regular_stamps_are_taken_apart_as_all_others(day, hour, minute, second, between):
    text = f"{day}{between}{hour:02d}:{minute:02d}:{second:02d}"
    assert read_stamp(text) == read_stamp(f" {text}")  # the blank keeps it off the short way


@pytest.mark.parametrize(
    ("header", "units", "role"),
    [
        ("Time", None, "clock"),
        ("Time", [""], "clock"),
        ("Time (min)", None, "elapsed"),
        ("Time", ["min"], "elapsed"),
    ],
)
def test_numbers_in_a_stated_unit_of_time_are_no_parts_of_a_day(header, units, role):
    texts = pl.DataFrame({"0": ["0.0123", "0.5123", "0.9151"]})
    assert classify((0, header, "when"), texts, units).role == role
