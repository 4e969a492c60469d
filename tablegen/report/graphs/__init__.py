"""report/graphs."""
