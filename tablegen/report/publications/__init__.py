"""report/publications."""
