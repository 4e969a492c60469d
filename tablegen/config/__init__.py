"""Config files to catalogue inputs, or every problem in them."""
