"""The text of a TOML file: where things stand, and how one is changed."""
