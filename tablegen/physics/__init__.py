"""Pure physics in SI floats and arrays: no files, no units of the reader's choice, no clock."""
