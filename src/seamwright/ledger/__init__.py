"""Minutes, money and the calendar of glue-ups."""
