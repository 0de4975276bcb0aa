"""The field book: where is measured in walking order, what is due and missing, what it comes to, values taken in."""
