"""JSON over HTTP."""
