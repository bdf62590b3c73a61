"""Units as sources write them, as UCUM codes, and as factors to the SI units of the store.

Rules
- A unit is a UCUM code. What a source writes (`yds`, `Meter`, `km/u`) is looked up in `UNIT_WORDS`.
- Every factor is the exact literal of its definition; a factor that is a quotient (km/h, ms) is
  kept as multiplier and divisor, so that no rounding enters before the one multiplication.
- A unit belongs to one dimension. A word with several meanings (`m`: metre or minute, `"`: inch or
  second) is decided by the dimension of the column.

Source: UCUM 2.2 (ucum-essence.xml) and NIST SP 811 (2008) Appendix B.8: mile 1609.344 m, yard
0.9144 m, foot 0.3048 m, inch 0.0254 m, knot 1852 m per hour; all exact.
"""

from dataclasses import dataclass
from typing import Literal

Dimension = Literal["length", "speed", "angle", "spin", "time", "ratio"]


@dataclass(frozen=True)
class Unit:
    """One unit: its UCUM code, its dimension, and SI = value × times ÷ per."""

    code: str
    dimension: Dimension
    times: float = 1.0
    per: float = 1.0

    def to_si(self, value: float) -> float:
        """`value` of this unit in the SI unit of the dimension (angle in deg, spin in 1/min)."""
        return value * self.times / self.per

    def from_si(self, value: float) -> float:
        """An SI value expressed in this unit."""
        return value * self.per / self.times


UNITS: dict[str, Unit] = {
    unit.code: unit
    for unit in (
        Unit("m", "length"),
        Unit("cm", "length", per=100.0),
        Unit("mm", "length", per=1000.0),
        Unit("km", "length", times=1000.0),
        Unit("[yd_i]", "length", times=0.9144),
        Unit("[ft_i]", "length", times=0.3048),
        Unit("[in_i]", "length", times=0.0254),
        Unit("m/s", "speed"),
        Unit("km/h", "speed", per=3.6),
        Unit("[mi_i]/h", "speed", times=0.44704),
        Unit("[ft_i]/s", "speed", times=0.3048),
        Unit("[yd_i]/s", "speed", times=0.9144),
        Unit("[kn_i]", "speed", times=1852.0, per=3600.0),
        Unit("cm/s", "speed", per=100.0),
        Unit("deg", "angle"),
        Unit("rad", "angle", times=180.0, per=3.141592653589793),
        Unit("{rev}/min", "spin"),
        Unit("{rev}/s", "spin", times=60.0),
        Unit("rad/s", "spin", times=60.0, per=6.283185307179586),
        Unit("s", "time"),
        Unit("ms", "time", per=1000.0),
        Unit("us", "time", per=1_000_000.0),
        Unit("min", "time", times=60.0),
        Unit("h", "time", times=3600.0),
        Unit("1", "ratio"),
        Unit("%", "ratio", per=100.0),
    )
}

SI_UNIT: dict[Dimension, str] = {
    "length": "m",
    "speed": "m/s",
    "angle": "deg",
    "spin": "{rev}/min",
    "time": "s",
    "ratio": "1",
}

SI_DIMENSION: dict[str, Dimension] = {code: dimension for dimension, code in SI_UNIT.items()}

_WORDS: dict[str, str] = {
    "m": "m meter meters metre metres metro metros metri mètre mètres mtr mts mtrs"
    " メートル 미터 米",
    "cm": "cm centimeter centimeters centimetre centimetres zentimeter センチ 센티미터 센티",
    "mm": "mm millimeter millimeters millimetre millimetres ミリ 밀리미터",
    "km": "km kilometer kilometre",
    "[yd_i]": "yd yds yard yards yarda yardas jarda jardas iarde iarda verge verges [yd_i] "
    "ヤード 야드 y",
    "[ft_i]": "ft feet foot ' ′ ’ fuß fuss pie pies pied pieds pé pés pes piede piedi fot voet "
    "[ft_i] フィート 피트",
    "[in_i]": 'in inch inches " ″ ” zoll pulgada pulgadas pouce pouces polegada polegadas pollice '
    "pollici tum inch ins [in_i] インチ 인치",
    "m/s": "m/s mps m/sec m/sek m/seg ms-1 m·s-1 m/s. 米/秒 メートル/秒 meter/second meters/second "
    "metres/second meter/sekunde mètres/seconde m/sn m.s-1 ms⁻¹ m·s⁻¹ m.s⁻¹",
    "km/h": "km/h kmh kph km/hr km/std km/u km/t kmph km/hour k/h 時速 km/時 km/uur km/tim km/ora "
    "km/hora km/heure",
    "[mi_i]/h": "mph mi/h mi/hr miles/h miles/hour mile/h [mi_i]/h m/h mi/u マイル/時 마일",
    "[ft_i]/s": "ft/s fps ft/sec feet/s feet/sec [ft_i]/s pies/s pieds/s",
    "[yd_i]/s": "yd/s yds/s yards/s [yd_i]/s",
    "[kn_i]": "kn kt kts knot knots knoten [kn_i]",
    "cm/s": "cm/s cm/sec cm/sek",
    "deg": "° º ˚ deg degs degree degrees grad grader graden gradi grado grados degré degrés grau "
    "graus dg 度 도",
    "rad": "rad radian radians radianti radianes radiant",
    "{rev}/min": "rpm r/min rev/min u/min tr/min trs/min v/min varv/min giri/min omw/min "
    "toeren/min "
    "t/min {rev}/min 1/min rev/m revs/min revolutions/min umdrehungen/min tours/min "
    "umdr/min 回転/分 毎分回転 rpms 회전/분 rot/min r.p.m. upm min-1 min⁻¹ t/mn",
    "{rev}/s": "rps rev/s r/s u/s tr/s {rev}/s rev/sec",
    "rad/s": "rad/s rad/sec",
    "s": "s sec secs second seconds sek sekunde sekunden sekund sekunder seg segundo segundos "
    "seconde secondes secondi secondo seconden 秒 초 secs.",
    "ms": "ms msec msecs millisecond milliseconds millisekunden millisekunde milisegundos "
    "millisecondes millisecondi milliseconden millisekunder ミリ秒 밀리초 msek mseg",
    "us": "us µs μs usec microseconds mikrosekunden",
    "h": "h hr hrs hour hours stunde stunden heure heures hora horas ora ore timme timmar uur uren",
    "min": "min mins minute minutes minuten minutos minuti minuter 分 분",
    "1": "1 ratio - x :1 none",
    "%": "% pct percent percentage prozent procent porcentaje pourcent percento por cento"
    " パーセント 퍼센트",
}

_FOREIGN = """
paces pace steps step schritte schritt pas pasos paso steg passos passo passi passen stappen 歩 걸음
frames frame images bilder fotogramas quadros fotogrammi beelden samples sample ticks counts
mrad gon mil mils krpm k x10 x100 x1000 ×10 ×100 ×1000 10s 100s cycles hz rev turns clubs furlongs
"""
FOREIGN_WORDS = frozenset(_FOREIGN.split())
"""Units that cannot be turned into SI without knowing more: columns in them are asked about."""

UNIT_WORDS: dict[str, tuple[str, ...]] = {}
for _code, _text in _WORDS.items():
    for _word in (*_text.split(), _code):
        UNIT_WORDS[_word] = (*UNIT_WORDS.get(_word, ()), _code)

_SECOND_MEANING: dict[tuple[str, Dimension], str] = {
    ("m", "time"): "min",
    ("'", "time"): "min",
    ('"', "time"): "s",
}


def find_unit(text: str, dimension: Dimension | None = None) -> str | None:
    """The UCUM code that `text` means for a column of `dimension`; None when it is no such unit."""
    if text in UNITS and dimension in {None, UNITS[text].dimension}:
        return text
    word = " ".join(text.replace("\u00a0", " ").split()).casefold().replace(" / ", "/")
    word = word.replace(" per ", "/").replace(" pro ", "/").replace(" par ", "/")
    if dimension is not None and (word, dimension) in _SECOND_MEANING:
        return _SECOND_MEANING[word, dimension]
    for candidate in (word, word.rstrip("."), word.replace(" ", "")):
        for code in dict.fromkeys(UNIT_WORDS.get(candidate, ())):
            if dimension is None or UNITS[code].dimension == dimension:
                return code
    return None


def is_foreign(text: str) -> bool:
    """Whether `text` is a unit that cannot be turned into SI without knowing more."""
    words = text.casefold().replace("*", " ").split()
    return any(word in FOREIGN_WORDS for word in words)


def to_si(value: float, code: str) -> float:
    """`value` in unit `code` as SI. Raises KeyError for a code that is not known."""
    return UNITS[code].to_si(value)


def from_si(value: float, code: str) -> float:
    """An SI value in unit `code`. Raises KeyError for a code that is not known."""
    return UNITS[code].from_si(value)


SHORT_WORDS = {
    "[ft_i]": "ft", "[yd_i]": "yd", "[in_i]": "in", "[mi_i]/h": "mph", "[ft_i]/s": "ft/s",
    "{rev}/min": "rpm", "{rev}/s": "rev/s", "[kn_i]": "knots",
}  # fmt: skip


def unit_word(code: str) -> str:
    """A unit code as people write it."""
    return SHORT_WORDS.get(code, code)
