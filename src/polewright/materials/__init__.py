"""Fibre, resin and prepreg: from what is bought to the constants of a cured ply."""
