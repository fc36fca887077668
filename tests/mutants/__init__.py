"""Small faults planted in the code one at a time, to count how many of them the tests notice: `make mutants`."""
