"""What the package computes, held against values of other hands."""
