"""What every test shares."""


def pytest_make_parametrize_id(val: object, argname: str) -> str | None:
    """Bytes are named by their argument: packed ones hold the time and would change every run."""
    return argname if isinstance(val, bytes) else None
