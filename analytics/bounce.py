"""What published formulas say of a ball's bounces and run. Nothing told to a player rests on it.

More than a thousand measured bounces fit this model only roughly (Biber et al. 2023, Sports
Engineering, doi 10.1007/s12283-023-00442-4), and whether the contact plane tilts changes the run
by a factor of 1.2 to 5. Plans therefore take the player's own run, or the trade's chart before
there is one (`run_ratio`); this module is the published arithmetic to hold either against.

Source of all formulas: Penner 2002, "The run of a golf ball", Canadian Journal of Physics 80
(read in copies, not in the paper).
"""

import math
from dataclasses import dataclass

from analytics.errors import BadQuestion
from analytics.hole import BALL_RADIUS_M, GRAVITY_MPS2
from analytics.roll import stimp_deceleration_mps2

GREEN_FRICTION = 0.40
FASTEST_MODELLED_MPS = 20.0


@dataclass(frozen=True)
class Impact:
    """A ball meeting the ground, or leaving it.

    `forward_mps` along the line of play, `vertical_mps` towards the ground before a bounce and
    away from it after one (both positive), `backspin_radps` + is backspin.
    """

    forward_mps: float
    vertical_mps: float
    backspin_radps: float


@dataclass(frozen=True)
class Run:
    """From first landing to rest: metres bounced, metres rolled, number of bounces."""

    bounce_m: float
    roll_m: float
    n_bounces: int

    @property
    def run_m(self) -> float:
        """Landing to rest, metres."""
        return self.bounce_m + self.roll_m


def restitution(normal_mps: float) -> float:
    """Share of the speed into the ground that comes back, for a normal impact speed in m/s."""
    if normal_mps > FASTEST_MODELLED_MPS:
        return 0.120
    return 0.510 - 0.0375 * normal_mps + 0.000903 * normal_mps**2


def contact_tilt_deg(impact: Impact) -> float:
    """Tilt of the crater's wall that the ball meets, degrees.

    The impact angle is taken without its sign, as printed; a ball hopping back is outside what
    the paper covers.
    """
    speed = math.hypot(impact.forward_mps, impact.vertical_mps)
    from_vertical_deg = math.degrees(math.atan2(abs(impact.forward_mps), impact.vertical_mps))
    return 15.4 * (speed / 18.6) * (from_vertical_deg / 44.4)


def bounce(impact: Impact, radius_m: float = BALL_RADIUS_M, tilted: bool = True) -> Impact:
    """The ball after one bounce: it slides throughout, or grips and rolls out of the crater."""
    tilt = math.radians(contact_tilt_deg(impact)) if tilted else 0.0
    along = impact.forward_mps * math.cos(tilt) - impact.vertical_mps * math.sin(tilt)
    into = impact.forward_mps * math.sin(tilt) + impact.vertical_mps * math.cos(tilt)
    along_out, into_out, spin = _contact(along, into, impact.backspin_radps, radius_m)
    return Impact(
        forward_mps=along_out * math.cos(tilt) - into_out * math.sin(tilt),
        vertical_mps=along_out * math.sin(tilt) + into_out * math.cos(tilt),
        backspin_radps=spin,
    )


def _contact(along: float, into: float, spin: float, radius: float) -> tuple[float, float, float]:
    """Speeds along and out of the contact plane and backspin after contact."""
    back = restitution(into)
    slip = along + radius * spin
    grip = 2 * abs(slip) / (7 * (1 + back) * into)
    if grip > GREEN_FRICTION:
        push = math.copysign(GREEN_FRICTION * into * (1 + back), slip)
        return along - push, back * into, spin - 5 * push / (2 * radius)
    rolling = (5 * along - 2 * radius * spin) / 7
    return rolling, back * into, -rolling / radius


def run_out(
    landing: Impact,
    green_speed_ft: float,
    tilted: bool = True,
    least_height_m: float = 0.005,
    radius_m: float = BALL_RADIUS_M,
) -> Run:
    """Bounces and roll on a flat green until rest; hops under the least height count as rolling.

    Raises: BadQuestion when the ball does not come down, or for an impossible green speed.
    """
    if landing.vertical_mps <= 0:
        raise BadQuestion("The ball does not come down.", "give the speed towards the ground")
    slowing = stimp_deceleration_mps2(green_speed_ft)
    ball, bounced_m, count = landing, 0.0, 0
    while True:
        ball = bounce(ball, radius_m, tilted)
        count += 1
        if ball.vertical_mps**2 / (2 * GRAVITY_MPS2) < least_height_m:
            break
        bounced_m += ball.forward_mps * 2 * ball.vertical_mps / GRAVITY_MPS2
    rolling = (5 * ball.forward_mps - 2 * radius_m * ball.backspin_radps) / 7
    return Run(bounced_m, math.copysign(rolling**2 / (2 * slowing), rolling), count)
