"""From readings of a test bench to the parameters of a valve family: estimates, bounds, and which tests are missing."""
