"""From the scatter of measured values and properties to limits that hold at a stated confidence."""
