"""Boards on hand with their flaws, and how to cut sticks from them."""
