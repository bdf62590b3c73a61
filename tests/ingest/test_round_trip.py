"""Any table written in any supported dialect, locale and set of units reads back equal."""

import csv
import io
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.headers import read_header
from ingest.read_export import read_export
from ingest.reading import Options
from ingest.units import UNITS
from ingest.words import languages

COLUMNS = {
    "carry_m": (("m", "yd", "ft", "cm"), 2.0, 60.0),
    "ball_speed_mps": (("m/s", "mph", "km/h", "ft/s"), 3.0, 25.0),
    "launch_deg": (("°", "deg"), 5.0, 60.0),
    "side_m": (("m", "yd", "ft"), -9.0, 9.0),
    "spin_rpm": (("rpm",), 500.0, 9000.0),
}
CODES = {"m": "m", "yd": "[yd_i]", "ft": "[ft_i]", "cm": "cm", "m/s": "m/s", "mph": "[mi_i]/h"}
CODES |= {"km/h": "km/h", "ft/s": "[ft_i]/s", "°": "deg", "deg": "deg", "rpm": "{rev}/min"}
SIDES = {"en": "LR", "de": "LR", "nl": "LR", "fr": "GD", "es": "ID", "pt": "ED", "it": "SD"}
SIDES |= {"sv": "VH", "ja": "左右", "ko": "좌우"}
CLOCKS = (
    "%Y-%m-%dT%H:%M:%SZ",
    "%Y-%m-%d %H:%M:%S",
    "%d.%m.%Y %H:%M:%S",
    "%d/%m/%Y %I:%M:%S %p",
    "%d %b %Y %H:%M:%S",
)
START = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)


def phrases(language, column):
    """Headers of one language that name this column and no other."""
    sections = (language.columns[name] for name in ("launch", "common"))
    found = [phrase for section in sections for phrase in section.get(column, ())]
    found = [phrase for phrase in found if "utc" not in phrase.casefold()]
    return [p for p in found if {m.column for m in read_header(p).matches["launch"]} == {column}]


@st.composite
def exports(draw):
    """(text, name → unit word, rows of values as written, clock format, language)."""
    language = draw(st.sampled_from(languages()))
    decimal = draw(st.sampled_from(".,"))
    delimiter = draw(st.sampled_from(",;\t|"))
    clock = draw(st.sampled_from(CLOCKS))
    names = draw(st.lists(st.sampled_from(list(COLUMNS)), min_size=3, max_size=5, unique=True))
    units = {name: draw(st.sampled_from(COLUMNS[name][0])) for name in names}
    decimals = {name: draw(st.integers(1, 2)) for name in names}
    n = draw(st.integers(2, 8))
    rows = [
        {name: draw(_value(name, units[name], decimals[name])) for name in names} for _ in range(n)
    ]
    where = draw(st.sampled_from(("header", "row")))
    headers = ["#", draw(st.sampled_from(phrases(language, "when")))]
    headers += [draw(st.sampled_from(phrases(language, name))) for name in names]
    letters = SIDES[language.code] if draw(st.booleans()) else None
    out = io.StringIO()
    writer = csv.writer(
        out, delimiter=delimiter, lineterminator=draw(st.sampled_from(("\n", "\r\n")))
    )
    if where == "header":
        writer.writerow(
            headers[:2] + [f"{h} ({units[n]})" for h, n in zip(headers[2:], names, strict=True)]
        )
    else:
        writer.writerow(headers)
        writer.writerow(["", "", *(units[name] for name in names)])
    for number, row in enumerate(rows, 1):
        at = (START + timedelta(seconds=37 * number)).strftime(clock)
        cells = [
            _cell(row[n], decimals[n], decimal, letters if n == "side_m" else None) for n in names
        ]
        writer.writerow([number, at, *cells])
    return out.getvalue(), units, rows, clock


def _value(name, unit, decimals):
    low, high = (bound / UNITS[CODES[unit]].to_si(1.0) for bound in COLUMNS[name][1:])
    return st.floats(low, high).map(lambda value: round(value, decimals))


def _cell(value, decimals, decimal, letters):
    text = f"{abs(value) if letters else value:.{decimals}f}".replace(".", decimal)
    if letters:
        text += f" {letters[value > 0]}" if value else ""
    return text


@settings(max_examples=60, deadline=None)
@given(exports())
def test_what_was_written_reads_back(export):
    text, units, rows, clock = export
    zone = "UTC" if clock.endswith("Z") else "Europe/Madrid"
    reading = read_export(text.encode(), name="any.csv", options=Options(zone=zone))
    assert not reading.questions, (text, reading.questions)
    assert not reading.set_aside, (text, reading.set_aside)
    assert reading.table.height == len(rows)
    for number, (row, got) in enumerate(
        zip(rows, reading.table.iter_rows(named=True), strict=True), 1
    ):
        for name, value in row.items():
            wanted = UNITS[CODES[units[name]]].to_si(value)
            assert abs(got[name] - wanted) <= 1e-9 * max(1.0, abs(wanted)), (text, name)
        local = (START + timedelta(seconds=37 * number)).replace(tzinfo=ZoneInfo(zone))
        assert got["struck_at_utc"] == local.astimezone(UTC), text
        assert got["device_number"] == number
