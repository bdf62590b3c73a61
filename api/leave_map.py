"""The leave map of a player as one standing SVG file."""

from analytics.hole import FOOT_M
from analytics.leaves import Leaves
from api.plots.clock_face import Leave, Words, clock_face_svg
from api.reader_units import METRES, ReaderUnits
from api.standing_svg import standing


def leave_map(told: Leaves, units: ReaderUnits) -> str:
    """The map as SVG that carries its own style, for files and print."""
    points = [
        Leave(
            units.of_metres(mark.leave_m or 0.0),
            mark.leave_bearing_deg or 0.0,
            mark.wetness == "wet",
        )
        for mark in told.marks
        if mark.leave_m == 0 or mark.leave_bearing_deg is not None
    ]
    near = 6 * FOOT_M / METRES[units.length]
    same = "" if units.length == "ft" else " = 6 ft"
    ring = f"dashed ring {near:.3g} {units.length}{same}"
    words = Words("downhill", "60° either side", ring, units.length, f"{len(points)} finishes")
    return standing(clock_face_svg(points, near, words))
