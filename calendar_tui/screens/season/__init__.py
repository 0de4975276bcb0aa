"""The season view: day lengths and thresholds over the cohorts' rows."""
