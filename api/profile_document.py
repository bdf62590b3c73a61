"""A profile as a plain document, with its sentences beside the numbers."""

from analytics.discovery import Finding
from analytics.player_profile import PlayerProfile
from api.plain_document import Plain, plain
from api.wording import Wording


def profile_document(profile: PlayerProfile, say: Wording) -> dict[str, Plain]:
    """Everything of the profile but the rows behind it; SI units in the names."""
    return {
        "player_id": profile.player_id,
        "display_name": profile.display_name,
        "handedness": profile.handedness,
        "age_band": profile.age_band,
        "n_shots": profile.n_shots,
        "n_swings": profile.n_swings,
        "n_sessions": profile.n_sessions,
        "first_day": plain(profile.first_day),
        "last_day": plain(profile.last_day),
        "clear": _finding(profile.clear, profile, say),
        "open": _finding(profile.open, profile, say),
        "focus": plain(profile.feedback.focus),
        "findings": [_finding(f, profile, say) for f in profile.feedback.findings],
        "curves": [plain(curve) for curve in profile.curves],
        "brackets": plain(profile.brackets),
        "tempo": plain(profile.tempo),
        "landing": plain(profile.landing),
        "card": plain(profile.card),
        "cautions": plain((*profile.ball_cautions, *profile.cautions)),
    }


def _finding(finding: Finding | None, profile: PlayerProfile, say: Wording) -> Plain:
    if finding is None:
        return None
    document = plain(finding)
    assert isinstance(document, dict)
    return document | {
        "expected": finding.expected,
        "sentence": say.finding(finding, profile.handedness),
    }
