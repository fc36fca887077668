"""Tests, stiffness with its uncertainty, comparison with the prediction."""
