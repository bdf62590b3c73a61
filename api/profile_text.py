"""A profile in sentences: one clear thing, one open, the focus, the card, the cautions."""

from collections.abc import Iterator

from analytics.cautions import BallLimits
from analytics.focus import WITHOUT_A_FIND
from analytics.player_profile import PlayerProfile
from api.card_text import card_lines
from api.curve_text import curve_name, state_words
from api.wording import Wording


def profile_lines(profile: PlayerProfile, say: Wording, limits: BallLimits) -> Iterator[str]:
    """The profile a coach reads with the player."""
    hand = profile.handedness
    name = profile.display_name or profile.player_id
    days = "day" if profile.n_sessions == 1 else "days"
    yield f"{name}: {profile.n_shots} balls, {profile.n_sessions} {days}"
    yield ""
    for thing, key in ((profile.clear, "clear"), (profile.open, "open")):
        if thing is None:
            yield say.text(f"profile.nothing_{key}")
        else:
            yield say.text(f"profile.{key}", sentence=say.finding(thing, hand))
            yield f"  {say.grounds(thing)}"
    yield ""
    yield from focus_lines(profile, say)
    yield ""
    for curve in profile.curves:
        yield (
            f"{curve_name(curve)}: {state_words(curve.state, curve.need)}, "
            f"{say.length(curve.carry(curve.speed_middle_mps).value)} at "
            f"{say.speed(curve.speed_middle_mps)}"
        )
    if profile.card is not None:
        yield ""
        yield from card_lines(profile.card, say)
    yield ""
    yield say.text("profile.rest")
    yield from rest_lines(profile, say)
    yield say.text("profile.together")
    yield ""
    yield from caution_lines(profile, say, limits)


def rest_lines(profile: PlayerProfile, say: Wording) -> Iterator[str]:
    """The other findings; those that only wait for more data share a line a need."""
    told = {thing.key for thing in (profile.clear, profile.open) if thing is not None}
    waiting: dict[str, list[str]] = {}
    for finding in profile.feedback.findings:
        if finding.key in told:
            continue
        if finding.verdict == "too_early":
            name = say.text(f"finding.{finding.key}.name")
            waiting.setdefault(say.state(finding.answer), []).append(name)
        else:
            sentence = say.finding(finding, profile.handedness)
            yield f"  [{say.state(finding.answer)}] {sentence}"
    for state, names in waiting.items():
        yield f"  [{state}] {'; '.join(names)}"


def focus_lines(profile: PlayerProfile, say: Wording) -> Iterator[str]:
    """The one focus, how much of it to expect, and sets where tempo drifts."""
    focus = profile.feedback.focus
    words = say.text(f"focus.{focus.key}", part="")
    if focus.key not in WITHOUT_A_FIND:
        finding = profile.feedback.of(focus.key)
        real = say.text("focus.expected", value=say.amount(finding, abs(focus.expected)))
        words = say.text(f"focus.{focus.key}", part=real)
    yield say.text("focus.intro", focus=words)
    if focus.part == "tempo" and profile.tempo.set_of_balls is not None:
        yield say.text("focus.sets", balls=profile.tempo.set_of_balls)


def caution_lines(profile: PlayerProfile, say: Wording, limits: BallLimits) -> Iterator[str]:
    """What keeps people whole: clear space, load, juniors, balls of the latest day."""
    for caution in (*profile.ball_cautions, *profile.cautions):
        yield say.text(
            f"caution.{caution}",
            balls=limits.rest_every,
            cap=limits.cap,
            left=limits.cap - profile.balls_last_day,
        )
