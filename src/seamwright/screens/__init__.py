"""The shop on screen: a local web app over app."""
