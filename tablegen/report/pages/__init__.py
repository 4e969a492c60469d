"""report/pages."""
