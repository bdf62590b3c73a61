"""Declared layouts that ship with carrybook, one TOML file each."""
