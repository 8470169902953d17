"""The command line: parse, call app, show. No computing."""
