"""Bodies of scored tests: stations, awards, rules, and a version as it is told."""

from typing import Annotated, Literal

from pydantic import Field

from analytics.scored_rules import rules_from
from analytics.scored_test import Award, Rules, Station, drawn_stations
from api.models import WHOLE, Body
from api.own_tests import is_own

PLAIN = r"^[^\x00-\x1f\x7f]*$"

Title = Annotated[
    str,
    Field(
        min_length=1, max_length=60, pattern=PLAIN, description="Title.", examples=["Pitch Ladder"]
    ),
]
Measured = Annotated[
    Literal["strokes", "points", "hits"],
    Field(
        description="What the total counts: strokes (fewer is better), points or hits.",
        examples=["hits"],
    ),
]
Order = Annotated[
    Literal["fixed", "drawn"],
    Field(description="Stations in this order, or drawn anew each time.", examples=["fixed"]),
]
HitWithin = Annotated[
    float | None,
    Field(
        gt=0,
        le=60,
        description="A hit finishes within this of the hole, m; null: by sight.",
        examples=[1.8288],
    ),
]


class TestStation(Body):
    """One place to play from."""

    lie: Annotated[
        str,
        Field(min_length=1, max_length=60, pattern=PLAIN, description="Lie.", examples=["fringe"]),
    ]
    distance_m: Annotated[
        float | None, Field(gt=0, le=100, description="To the hole, m.", examples=[9.0])
    ] = None
    club: Annotated[
        str | None, Field(pattern=r"^[A-Z0-9]{1,3}$", description="Club.", examples=["SW"])
    ] = None


class TestAward(Body):
    """Points for one thing at a station."""

    kind: Annotated[
        Literal["below_hole", "within", "in_sector", "holed", "judged"],
        Field(description="What earns the points.", examples=["within"]),
    ]
    points: Annotated[float, Field(gt=0, le=100, description="Points.", examples=[1])]
    within_m: Annotated[
        float | None, Field(gt=0, le=60, description="For within: how near, m.", examples=[1.8288])
    ] = None
    sector_deg: Annotated[
        float | None,
        Field(
            gt=0,
            le=180,
            description="For in_sector: degrees either side of straight below.",
            examples=[None],
        ),
    ] = None
    what: Annotated[
        str,
        Field(
            max_length=120, pattern=PLAIN, description="For judged: the question.", examples=[""]
        ),
    ] = ""


class TestRules(Body):
    """The rules of a test, without its name."""

    title: Title
    measure: Measured
    target: Annotated[float, Field(gt=0, le=20000, description="The total to reach.", examples=[6])]
    order: Order = "fixed"
    draw: Annotated[
        Annotated[int, Field(ge=1, le=200), WHOLE] | None,
        Field(description="Stations of one sitting; null: all.", examples=[None]),
    ] = None
    stations: Annotated[
        list[TestStation],
        Field(
            min_length=1,
            max_length=200,
            description="The stations.",
            examples=[[{"lie": "fringe", "distance_m": 9.0, "club": "SW"}] * 9],
        ),
    ]
    awards: Annotated[
        tuple[TestAward, ...],
        Field(max_length=10, description="Points of a station; for points alone.", examples=[[]]),
    ] = ()
    hit_within_m: HitWithin = None
    total_sd: Annotated[
        float | None,
        Field(
            gt=0,
            le=200,
            description="SD of one total until own sittings tell; null: usual.",
            examples=[None],
        ),
    ] = None

    def named(self, name: str) -> Rules:
        """The rules under a name. Raises: BadQuestion for rules nobody could be scored by."""
        told = self.model_dump(exclude={"stations", "awards", "hit_within_m"}, exclude_none=True)
        awards = [one.model_dump() | {"for": one.kind} for one in self.awards]
        stations = [one.model_dump() for one in self.stations]
        hit = {"within_m": self.hit_within_m}
        return rules_from(
            told | {"name": name, "version": 1, "station": stations, "award": awards, "hit": hit}
        )


class NewTest(TestRules):
    """A test to be made."""

    name: Annotated[
        str,
        Field(
            pattern=r"^[a-z][a-z0-9_]{1,40}$",
            description="Name; it stays.",
            examples=["pitch_ladder"],
        ),
    ]


class ScoredTestBody(Body):
    """One version of a test."""

    test: Annotated[str, Field(description="name@version.", examples=["pitch_ladder@1"])]
    name: Annotated[str, Field(description="Name.", examples=["pitch_ladder"])]
    version: Annotated[int, Field(ge=1, description="Version.", examples=[1])]
    own: Annotated[bool, Field(description="Made by a coach.", examples=[True])]
    coach: Annotated[
        str, Field(description="Whose test it is; empty: everybody's.", examples=["Mora"])
    ] = ""
    title: Annotated[str, Field(description="Title.", examples=["Pitch Ladder"])]
    measure: Measured
    target: Annotated[float, Field(description="The total to reach.", examples=[6])]
    order: Order
    draw: Annotated[int, Field(ge=1, description="Stations of one sitting.", examples=[9])]
    total_sd: Annotated[
        float, Field(gt=0, description="SD of one total, before own sittings tell.", examples=[1.4])
    ]
    hit_within_m: Annotated[
        float | None, Field(description="A hit finishes within this, m.", examples=[1.8288])
    ]
    stations: Annotated[list[TestStation], Field(description="The stations, numbered from 1.")]
    awards: Annotated[list[TestAward], Field(description="Points of a station.")]
    play: Annotated[
        list[int],
        Field(description="Numbers of the stations to play, in order.", examples=[[1]]),
    ]

    @classmethod
    def of(cls, rules: Rules, seed: int = 0, coach: str = "") -> "ScoredTestBody":
        """The body for one version; `seed` decides what a drawn test draws."""
        same = ("name", "version", "title", "measure", "target", "order", "draw", "total_sd")
        return cls(
            test=rules.key,
            own=is_own(rules),
            coach=coach,
            hit_within_m=rules.hit_within_m,
            stations=[_station(one) for one in rules.stations],
            awards=[_award(one) for one in rules.awards],
            play=[one.number for one in drawn_stations(rules, seed)],
            **{name: getattr(rules, name) for name in same},
        )


class ScoredTestsBody(Body):
    """The tests there are."""

    items: Annotated[list[ScoredTestBody], Field(description="By name, then version.")]


def _station(one: Station) -> TestStation:
    return TestStation.model_construct(lie=one.lie, distance_m=one.distance_m, club=one.club)


def _award(one: Award) -> TestAward:
    return TestAward.model_construct(
        kind=one.kind,
        points=one.points,
        within_m=one.limit_m,
        sector_deg=one.sector_deg,
        what=one.what,
    )
