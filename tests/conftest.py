"""What every test shares."""

from hypothesis import settings

# How long an example takes says how busy the machine is, not whether the law holds.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def pytest_make_parametrize_id(val: object, argname: str) -> str | None:
    """Bytes are named by their argument: packed ones hold the time and would change every run."""
    return argname if isinstance(val, bytes) else None
