"""The kinds of wall-clock time that verbs take."""

import click

WHEN = click.DateTime(["%Y-%m-%d", "%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S"])
"""A day, or a day and time, read in the player's zone."""
