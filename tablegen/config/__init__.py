"""Config files to catalogue inputs, or every mistake in them."""
