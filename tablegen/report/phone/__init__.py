"""report/phone."""
