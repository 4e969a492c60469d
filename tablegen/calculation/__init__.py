"""A printed limit worked out again, equation by equation, from the config's own figures."""
