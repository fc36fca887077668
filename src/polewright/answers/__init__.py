"""What is known about a design, a wall, a hold, a batch, a search, a test: frozen values in SI, with codes for people.

An answer holds no sentence and no unit but SI; `words` makes text of its codes and figures.
"""
