"""A second calculation of the data set, written from the model page and sharing no line with the package."""
