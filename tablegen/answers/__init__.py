"""Answers for single cases: from a catalogue's inputs, by the same physics as its tables; knows no files."""
