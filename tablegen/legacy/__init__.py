"""A table of limits from elsewhere beside the catalogue's own: what differs, by what it differs, which assumption explains it."""
