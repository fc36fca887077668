"""Values in, SVG out, for screen and paper alike."""
