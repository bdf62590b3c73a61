"""The demo scenario: an invented green, coach and five players over eight weekly sessions.

`python -m demo_data OUT_DIR` writes the exports a coach would hold, and `truth.json` beside them.
Simulation is pure (`cast`, `session`, `ground`, `scored_tests`); `write` alone touches files.
"""
