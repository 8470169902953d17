"""What a drawing implies: seams, their class by grain, and straight-through splits."""
