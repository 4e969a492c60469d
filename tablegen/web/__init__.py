"""The desk: questions of a browser answered by the functions of the package, each answer as HTML of the one renderer."""
