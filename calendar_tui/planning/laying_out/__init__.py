"""A cohort's dates: stages, light, heat, and the timeline with its reasons."""
