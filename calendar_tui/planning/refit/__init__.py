"""The figures of a variety made anew from what its cohorts have shown, in one season or several."""
