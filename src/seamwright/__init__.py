"""Seamwright: from the drawing of a pieced board to a proven glue-up plan."""
