"""Answers and pages for a browser."""
