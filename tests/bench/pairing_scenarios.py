"""What each scenario of simulated practice sessions fixes."""

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Setting:
    """What a scenario fixes; everything else is drawn per session."""

    shots: int = 40
    metronome_jitter_s: float | None = None
    pace_s: tuple[float, float] = (22.0, 60.0)
    launch_resolution_s: float = 0.0
    swing_resolution_s: float = 0.0
    drift_ppm: float = 60.0
    steps: int = 0
    step_range_s: tuple[float, float] = (1.0, 20.0)
    launch_miss: float = 0.04
    swing_miss: float = 0.04
    waggles_per_shot: float = 0.3
    strays_per_shot: float = 0.05
    bracket_share: float = 0.85
    other_player: str = ""
    keep_swings: tuple[float, float] = (0.0, 1.0)
    keep_shots: tuple[float, float] = (0.0, 1.0)
    offset_s: tuple[float, float] = (-7200.0, 7200.0)
    with_speed: bool = True
    with_tempo: bool = True
    unrelated: bool = False
    dirty: bool = False


PLAIN = Setting()
SCENARIOS: dict[str, Setting] = {
    "plain": PLAIN,
    "one_second": replace(PLAIN, launch_resolution_s=1.0, swing_resolution_s=1.0),
    "one_second_sensor": replace(PLAIN, swing_resolution_s=1.0),
    "drift": replace(PLAIN, drift_ppm=200.0),
    "step": replace(PLAIN, steps=1),
    "two_steps": replace(PLAIN, steps=2, shots=60, step_range_s=(2.0, 90.0)),
    "hour_step": replace(PLAIN, steps=1, step_range_s=(3600.0, 3600.001)),
    "misses": replace(PLAIN, launch_miss=0.15, swing_miss=0.15),
    "noisy": replace(PLAIN, waggles_per_shot=2.0, strays_per_shot=0.6),
    "wrong_day": replace(PLAIN, offset_s=(80000.0, 90000.0)),
    "half_overlap": replace(PLAIN, keep_swings=(0.0, 0.6), keep_shots=(0.35, 1.0)),
    "switched_off": replace(PLAIN, keep_swings=(0.0, 0.5)),
    "two_alternate": replace(PLAIN, shots=60, other_player="alternate"),
    "two_blocks": replace(PLAIN, shots=60, other_player="blocks"),
    "two_random": replace(PLAIN, shots=60, other_player="random"),
    "no_habit": replace(PLAIN, bracket_share=0.1),
    "no_speed": replace(PLAIN, with_speed=False),
    "no_tempo": replace(PLAIN, with_tempo=False),
    "dirty": replace(PLAIN, dirty=True, launch_resolution_s=1.0),
    "shots_4": replace(PLAIN, shots=4),
    "shots_8": replace(PLAIN, shots=8),
    "shots_12": replace(PLAIN, shots=12),
    "shots_300": replace(PLAIN, shots=300, drift_ppm=200.0),
    "metronome": replace(PLAIN, metronome_jitter_s=0.1),
    "metronome_1s": replace(
        PLAIN, metronome_jitter_s=0.1, launch_resolution_s=1.0, swing_resolution_s=1.0
    ),
    "metronome_8": replace(PLAIN, metronome_jitter_s=0.1, shots=8),
    "unrelated": replace(PLAIN, unrelated=True),
    "unrelated_8": replace(PLAIN, unrelated=True, shots=8),
    "unrelated_1s": replace(PLAIN, unrelated=True, launch_resolution_s=1.0, swing_resolution_s=1.0),
    "unrelated_noisy": replace(PLAIN, unrelated=True, waggles_per_shot=2.0, strays_per_shot=0.6),
    "unrelated_metronome": replace(PLAIN, unrelated=True, metronome_jitter_s=0.1),
    "unrelated_equal": replace(PLAIN, unrelated=True, metronome_jitter_s=0.1, pace_s=(30.0, 30.0)),
    "unrelated_equal_1s": replace(
        PLAIN,
        unrelated=True,
        metronome_jitter_s=0.1,
        pace_s=(30.0, 30.0),
        launch_resolution_s=1.0,
        swing_resolution_s=1.0,
    ),
    "unrelated_equal_8": replace(
        PLAIN, unrelated=True, metronome_jitter_s=0.1, pace_s=(30.0, 30.0), shots=8
    ),
    "unrelated_300": replace(PLAIN, unrelated=True, shots=300),
}
