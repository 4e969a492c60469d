"""Builders: a typed result and a formatter give an `Answer`."""
