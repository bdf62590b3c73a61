"""Rules of scored tests as versioned data: one TOML file per test, named name@version.

A changed rule is a new version beside the old one, so that old scores keep their meaning. The
fields are described in `analytics/scored_test.py`. Tests, targets and lies are common practice of
short-game coaching, without a source, unless the file says otherwise.
"""
