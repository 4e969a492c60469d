"""The frames of a data set that are made from its windows and solved states."""
