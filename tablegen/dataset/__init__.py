"""dataset."""
