"""Field trials laid out: treatments drawn into plots, plots put on the ground and numbered. Names and numbers in, plots out."""
