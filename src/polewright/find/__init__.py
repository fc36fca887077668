"""The best walls and poles for a brief, with proof."""
