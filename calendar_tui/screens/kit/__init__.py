"""What the views are built of: canvas, sheets, glyphs, keys."""
