"""What the package computes, held against what others have published."""
