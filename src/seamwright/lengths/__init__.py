"""Shop lengths in words and figures: 1-3/8 in, 35 mm."""
