"""From readings of a test bench to the parameters of a valve family: estimates, their bounds, and what is missing."""
