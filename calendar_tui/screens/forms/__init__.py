"""Forms of labelled fields, typed in where they stand."""
