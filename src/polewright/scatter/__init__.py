"""Spread of every figure from the spread of material and making."""
