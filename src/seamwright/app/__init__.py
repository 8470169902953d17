"""Use cases: one function for each verb the user knows; wires the rooms together."""
