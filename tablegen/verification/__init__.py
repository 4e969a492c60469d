"""Computed values compared with published values and other programs."""
