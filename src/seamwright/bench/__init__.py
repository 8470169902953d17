"""The virtual bench: carries a plan out on virtual wood and compares it with the drawing."""
