"""Decides how a drawing is made: searches the options and chooses exactly."""
