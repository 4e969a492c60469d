"""Catalogue inputs to a data set: sweep, groups, record, files."""
