"""Woods: movement, strength, hazards; every value with its source."""
