"""The use cases that all faces share; the one door to the store."""
