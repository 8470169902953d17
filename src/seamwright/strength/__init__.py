"""Moisture and load mechanics of a pieced board."""
