"""Data sets to printed pages; computes nothing."""
