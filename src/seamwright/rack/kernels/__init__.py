"""The inner loops of cut plans, compiled on first use and kept on disk (decision 0045)."""
