"""What the plugins inside the processes of tests share with the tool outside."""

FIXTURE = "fixture "
NOT_HERE = "no function to change"
NO_END = "no end: tests that ended without it did not"
WAITS = "no end: it waits for what does not come"
CPU_PER_TEST = 6.0, 8.0
"""Seconds of processor time that a test may take: so many, and so many times what it took without a fault."""
