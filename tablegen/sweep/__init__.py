"""sweep."""
