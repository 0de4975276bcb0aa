"""The screens wing of trials: their maps, plot by plot."""
