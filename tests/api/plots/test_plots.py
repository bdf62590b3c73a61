"""Charts are well-formed, put numbers where they belong, and survive odd input."""

import itertools
from datetime import date, timedelta
from math import inf, nan
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.plots.clock_face import CENTRE, Leave, Words, clock_face_svg, place_of
from api.plots.curve import MOST_POINTS, Band, Points, curve_svg, thinned
from api.plots.rows import Row, rows_svg
from api.plots.scale import Scale, covering, round_step, tick_text
from api.plots.sessions import Session, Trend, sessions_svg
from api.plots.strip import Tick, landing_svg, stacked, triple_svg
from api.plots.svg import drawing, tag, text

SVG = "{http://www.w3.org/2000/svg}"
FACE = Words("downhill", "low side", "6 ft", "ft", "leaves")
FINITE = st.floats(-1e6, 1e6, allow_nan=False)


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def of_class(svg: str, name: str) -> list[ElementTree.Element]:
    return [one for one in parsed(svg).iter() if one.get("class") == name]


def test_text_and_attributes_are_escaped():
    svg = drawing(10, 10, 'a "b" <c>', text(1, 2, "<script>&"), tag("g", class_='x"y'))
    root = parsed(svg)
    assert root.get("aria-label") == 'a "b" <c>'
    assert root.find(f"{SVG}text").text == "<script>&"


@pytest.mark.parametrize(
    ("rough", "step"), [(0.7, 1), (1, 1), (1.2, 2), (3, 5), (7, 10), (0.03, 0.05), (0, 1)]
)
def test_steps_are_round(rough, step):
    assert round_step(rough) == pytest.approx(step)


@given(FINITE, FINITE)
def test_ticks_lie_within_the_scale(a, b):
    scale = covering([a, b], 0, 100)
    ticks = scale.ticks()
    slack = (scale.high - scale.low) * 1e-6
    assert all(scale.low - slack <= tick <= scale.high + slack for tick in ticks)
    assert len(ticks) <= 12


def test_a_scale_runs_straight_and_holds_outliers_at_the_edge():
    scale = Scale(0, 10, 100, 200)
    assert scale(5) == 150
    assert scale(1e9) == pytest.approx(203)
    assert scale(-1e9) == pytest.approx(97)


def test_no_value_at_all_still_gives_a_scale():
    assert covering([], 0, 1).ticks()
    assert covering([nan], 0, 1).ticks()


def test_a_minus_is_a_minus():
    assert tick_text(-2.50) == "−2.5"


def test_the_band_is_drawn_before_the_points():
    band = Band([1, 2], [1, 2], [0.5, 1.5], [1.5, 2.5], [0, 1], [2, 3])
    svg = curve_svg(Points([1, 2], [1, 2], [False, True]), band, ("x", "y"), "s")
    places = [svg.index(f'class="{name}"') for name in ("band-one", "band-mean", "centre", "dot")]
    assert places == sorted(places)
    assert len(of_class(svg, "cross")) == 1


@pytest.mark.parametrize("count", [0, 1, 7, 500, 50_000])
def test_any_number_of_shots_makes_a_chart_of_bounded_size(count):
    values = [float(index % 97) for index in range(count)]
    svg = curve_svg(Points(values, values, [False] * count), None, ("x", "y"), "s")
    assert len(of_class(svg, "dot")) == min(count, MOST_POINTS)
    assert len(svg) < 60_000
    assert len(thinned(Points(values, values, [False] * count))) <= MOST_POINTS
    landing = landing_svg(values[:600], [False] * min(count, 600), (1, 2), None, ("x", "s"))
    assert parsed(landing) is not None


def test_the_triple_shows_whiskers_and_one_shot():
    ticks = [
        Tick("long", 31, 29, 33),
        Tick("short", 17, 15, 19),
        Tick("shot", 24, 24, 24, kind="shot"),
    ]
    svg = triple_svg(ticks, (21.5, 26.5), "ft", "s")
    assert len(of_class(svg, "rehearsal-tick")) == 2
    assert len(of_class(svg, "shot-dot")) == 1
    [window] = of_class(svg, "window")
    [shot] = of_class(svg, "shot-dot")
    left, width = float(window.get("x")), float(window.get("width"))
    assert left < float(shot.get("cx")) < left + width


def test_stacked_dots_of_one_row_do_not_touch():
    scale = Scale(0, 100, 0, 100)
    values = [float(v) for v in range(0, 100, 3)]
    rows = stacked(values, scale, 7, 10)
    for row in set(rows):
        places = sorted(v for v, r in zip(values, rows, strict=True) if r == row)
        assert all(b - a >= 7 for a, b in itertools.pairwise(places))


def test_rows_without_a_value_keep_their_name():
    svg = rows_svg([Row("SW hip", None, None, None, note="too early")], "ft", "s")
    assert "SW hip" in svg
    assert "too early" in svg
    assert not of_class(svg, "centre")


def test_a_break_parts_the_line_over_the_sessions():
    first = date(2025, 1, 1)
    days = [first, first + timedelta(7), first + timedelta(60), first + timedelta(67)]
    sessions = [Session(day, "d", 1.0 + i, i + 0.5, i + 1.5) for i, day in enumerate(days)]
    svg = sessions_svg(sessions, "ft", "s", Trend((1, 0.5, 1.5), (4, 3, 5)))
    assert len(of_class(svg, "link")) == 2
    assert len(of_class(svg, "reference")) == 1
    assert parsed(sessions_svg([], "ft", "s")) is not None


@pytest.mark.parametrize(
    ("bearing", "side"), [(0, "below"), (90, "left"), (180, "above"), (270, "right")]
)
def test_bearings_run_clockwise_seen_from_above_from_straight_below(bearing, side):
    x, y = place_of(10, bearing)
    offsets = {"below": (0, 10), "left": (-10, 0), "above": (0, -10), "right": (10, 0)}
    assert (x - CENTRE, y - CENTRE) == pytest.approx(offsets[side], abs=1e-9)


def test_the_face_shows_every_leave_within_its_rings():
    leaves = [Leave(d, b) for d, b in ((0.0, 0.0), (3.0, 120.0), (25.0, 359.0))]
    svg = clock_face_svg([*leaves, Leave(4, 10, wet=True)], 6.0, FACE)
    assert len(of_class(svg, "dot")) == 3
    assert len(of_class(svg, "wet")) == 1
    for one in of_class(svg, "dot"):
        assert 0 <= float(one.get("cx")) <= 360


def test_the_rings_are_named_over_the_balls():
    svg = clock_face_svg([Leave(3.0, 270.0), Leave(17.0, 90.0)], 6.0, FACE)
    order = [one.get("class") for one in parsed(svg).iter()]
    assert order.index("ring-name") > max(n for n, name in enumerate(order) if name == "dot")
    names = [one.text for one in of_class(svg, "ring-name")]
    assert names == ["5 ft", "10 ft", "15 ft", "20 ft"]


@given(st.lists(FINITE, max_size=40))
def test_any_values_give_a_well_formed_strip(values):
    svg = landing_svg(values, [False] * len(values), (0, 1), None, ("x", "<&>"))
    assert len(of_class(svg, "dot")) == len(values)
    assert inf not in [float(one.get("cx")) for one in of_class(svg, "dot")]
