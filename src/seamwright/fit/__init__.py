"""Tolerances before cutting and measured sizes after."""
