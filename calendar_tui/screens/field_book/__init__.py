"""The screens wing of the field book: values typed cell by cell in walking order, and a filled sheet taken in."""
