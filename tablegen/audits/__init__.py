"""What a careful reader would find wrong with a catalogue, or with a release of it on disk."""
