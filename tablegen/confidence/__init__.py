"""From the scatter of measured values and properties to load limits at a stated confidence."""
