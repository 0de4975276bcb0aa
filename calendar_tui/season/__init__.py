"""What the grower keeps: immutable records, how they are read from plain data, and the edits on them."""
