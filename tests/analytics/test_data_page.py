"""The data page of an import."""

from analytics.data_page import data_page
from analytics.db import in_memory
from tests.analytics.test_db import rows


def test_missing_rounded_and_repeated_values_are_named():
    carries = [5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 6.0, 6.0, 6.0, 7.0, 7.0, None, 5.0, 6.0]
    shots = [
        {"player_id": "pa", "import_id": "i1", "event_id": str(k), "carry_m": carry}
        for k, carry in enumerate(carries)
    ]
    aside = {"player_id": "pa", "import_id": "i1", "source_line": 9, "column": "Carry"}
    connection = in_memory(
        {
            "shots": rows("shots", *shots, {"player_id": "pa", "import_id": "i2", "carry_m": 1.0}),
            "set_aside": rows("set_aside", aside | {"code": "too_low"}),
        }
    )
    page = data_page(connection, "i1")
    (carry,) = page.columns
    assert (carry.n_rows, carry.n_missing, carry.n_distinct) == (14, 1, 3)
    assert carry.remarks == ("1 missing", "5 stands 7 times", "rounded: 3 values in 13 rows")
    assert [(entry.code, entry.first_line) for entry in page.impossible] == [("too_low", 9)]
