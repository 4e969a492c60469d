"""report/pdf."""
